"""What a rod is: tube and joint sections, threads, torque, fatigue curves, columns."""
