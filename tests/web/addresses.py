"""Pages that a shelf with the demonstration has."""

PAGES = (
    "/shelf",
    "/new",
    "/materials",
    "/materials?find=redcedar",
    "/materials?table=resins",
    "/materials/resins/ep_rt",
    "/materials/own",
    "/labels",
    "/about",
    "/panel/P-0001",
    "/panel/P-0001?cut=along",
    "/panel/P-0001/today",
    "/panel/P-0001/full",
    "/panel/P-0001/working",
    "/panel/P-0001/working/thickness",
    "/panel/P-0001/write",
    "/panel/P-0001/piece",
    "/panel/P-0001/build",
    "/piece/S-0001",
    "/piece/S-0001/record",
)
