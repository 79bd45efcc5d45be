"""The squat: stance, turn-out, heel, and how far the hips sit back, for a body from the tape."""
