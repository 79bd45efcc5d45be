"""What the lifts from the legs share: a standing body from the tape, a leg in space, what its joints
bear, and how such a lift is asked, measured and told."""
