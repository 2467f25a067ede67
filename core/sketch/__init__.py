"""From a drawn curve to the nearest waves that can be worked, and variants of a wave."""
