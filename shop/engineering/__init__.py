"""Pure calculation and reading of what people write: no Django, no models, no third-party import."""
