"""Pictures drawn by code in place of photos: scenes to scale, in millimetres, lit and seen a little askew."""
