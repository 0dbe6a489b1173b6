"""What screens set going: notes, work done, machines and parts, offers, checks; each asks by a form, then writes.

What comes after that is the screen's matter: an action that leads on is given what to call then, and opens no page.
"""
