"""Wear over time: days and hours, the line through them, rates, forecasts."""
