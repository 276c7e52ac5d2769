"""An invented estate with a history, for demonstrations, tests and trying things out: every door,
name and fault in it is made up, which is shown wherever a door is named. May import dialogue,
domain and logbook.
"""
