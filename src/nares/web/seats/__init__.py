"""The seats of a line-up: placer, handler, evaluator and recorder, each with one page and nothing else."""
