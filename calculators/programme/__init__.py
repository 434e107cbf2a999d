"""An exercise programme as time, repetitions and load."""
