"""Names become numbers here, and only here: description + catalogue -> stack layers and inputs."""

from panelwright.panels.resolve.panel import Resolved, resolve

__all__ = ["Resolved", "resolve"]
