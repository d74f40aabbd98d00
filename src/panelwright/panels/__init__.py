"""From a panel file to a prediction: description -> resolve -> stack -> evaluate."""
