"""What the weights say of the dividing and of the scale: spread, drift, law, interval, share."""
