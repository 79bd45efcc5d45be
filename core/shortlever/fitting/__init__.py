"""From a request to a lifter fitted, in any lift: the one way of fit screen, team sheet and film check."""
