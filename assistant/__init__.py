"""A voice assistant for a brewer alone at the kettle.

The rooms, lowest first; a room imports only from those above its own line:
quantities, messages, settings                       values that every room shares
calculation, understanding                           brewing physics; words to readings
day                                                  the plan, the facts, what follows from them
phrasing, board.view                                 facts to sentences; state to what is shown
ports                                                what a device room must offer
sound, ear, voice, journal, clock, board, report     device rooms, never importing each other
loop, rehearsal                                      the turning wheel; a day with a made-up brewer
wiring, __main__                                     everything put together
"""
