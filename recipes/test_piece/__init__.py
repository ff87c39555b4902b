"""What the coupon shows."""
