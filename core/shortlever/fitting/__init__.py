"""From a request to a lifter fitted: the one way that fit screen, team sheet and film check share."""
