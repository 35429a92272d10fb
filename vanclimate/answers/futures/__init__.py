"""Many vans in the weather that was: drawn, run, judged, counted, and changed until they last."""
