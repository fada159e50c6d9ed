"""What the pages at a desk show and take: floor, jobs, a job, an operation, the lead's list."""
