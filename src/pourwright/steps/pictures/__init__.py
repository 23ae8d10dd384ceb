"""Pictures of what was found, drawn without a screen."""
