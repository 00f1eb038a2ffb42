"""Room: findings."""
