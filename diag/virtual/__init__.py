"""A described site as it would behave: parts with faults in them, commands, time, looks and measurements.

    site = VirtualSite(described, [Fault("core-open", "k10", severity=0.8)], seed=3)     (site)
    site.press("sw-a", "open").runs["d7"].stop      what a switch does, drive by drive
    site.command_at_panel("za", "close")            the same from the controller
    site.automatic("za"), site.wait(30)             demands, and time passing
    site.repair("core-open", "k10")
    complaints(site)                                what people there would notice          (noticing)
    possible_faults(topology)                       every cause with every part it can sit at  (faults)

Nothing here reads the knowledge base: the model stands on the description, the calculators and the trade alone.
"""
