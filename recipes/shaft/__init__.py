"""The axle: shape, rules, load and strength, seats and fits, leads, drawings."""
