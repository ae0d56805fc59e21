"""The invented catalogue and jobs of the demo: no maker, vehicle, engine or gearbox in it exists."""
