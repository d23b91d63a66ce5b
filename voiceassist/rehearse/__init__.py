"""A vehicle with a hidden fault to practise on, and what an instructor would say afterwards."""
