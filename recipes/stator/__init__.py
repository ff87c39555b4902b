"""The stator's steel: slot, sheet, hub, stack and its ends, test coupon, and their drawings."""
