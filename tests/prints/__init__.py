"""Photographs of footprints whose truth is known: feet, scene, camera and scorer. All feet are invented."""
