"""The motor put together: every body in its place along the axle, and who touches whom."""
