"""The axle: profile, drawing, load, stress and strength."""
