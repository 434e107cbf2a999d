"""Photographs of footprints whose truth is known: the feet, the scene, the camera, and the scorer. All feet are invented."""
