"""Pictures of the build sheet: small sheets with large lettering, every dimension names its field."""
