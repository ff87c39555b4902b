"""The rotating half besides magnets: covers with bearings, bolts, the ring turned, and the stack-up."""
