"""May the criterion be raised: the step test, its lines, its exact risks, and usual habits beside it."""
