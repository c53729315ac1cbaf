"""What the rig's screens ask between two rods."""
