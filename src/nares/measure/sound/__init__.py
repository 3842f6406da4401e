"""Listening: from blocks of sound to marks, intakes of air and sniffing bouts."""
