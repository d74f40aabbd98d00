"""docs/commands.md says what the commands say of themselves."""

from .commands_page import PAGE, page


def test_page_is_up_to_date() -> None:
    written = PAGE.read_text(encoding="utf-8")
    assert written == page(), "run: python -m tests.cli.commands_page"


def test_every_command_and_option_has_its_words() -> None:
    for block in page().split("## ")[1:]:
        for line in block.split("Options:\n")[1].splitlines():
            if line.startswith("  --") and len(line.split()) < 3:
                assert "  " in line.strip(), line
