"""Virtual call-outs: a person goes to a virtual site, makes checks, repairs something, and proves whether it works.

What callers get, each from the module that makes it:

    call = drawing.draw(reasoner, prepared, Random(7), faults=1)
        A `CallOut`. The same dice give the same call-out. `prepared` is the site as drawn.

    call.prepared                          The site as the technician has it described: as drawn, or (the default) with
                                           the settings as they are. Reason on this one, not on the drawing.
    call.symptoms, call.told, call.at      What was reported: symptoms (the complaint first), circumstances, the hour.
    call.case()                            The same as a `Case`, with the repairs tried so far.
    call.answer(check, part)               A `Reply`: `outcome` (an outcome's id, or None when the person cannot make
                                           the check, did not look or is not sure), `text` ("0.2 V", "No fuse blown",
                                           "cannot reach it") and `typed`, what goes into a `Finding`.
    call.minutes(check, part, place)       A `Cost`: minutes in all, minutes of the walk, the place then, climbs.
    call.repair(cause, part)               A `Tried`: `was_there`, `works` (the complaint is gone) and `left`, what
                                           people still notice.
    call.repair_minutes(cause, part, place)  A `Cost`, proof included.
    call.is_right(cause, part)             Whether this cause at this part is one that is really there.
    call.unsafe(check, part, taken)        `Danger`s of making the check here and now without the precautions taken.
    call.faults, call.site                 Hidden truth: causes with parts, severity, share of time; the model itself.

Outcomes follow from the model's physics and settings through what a meter or an eye would show; the likelihood words
of the knowledge base have no part in them. Bands and limits of readings are those of the check entries.
"""
