"""Checks of the bare tags of a DXF file, which `ezdxf` mends in silence: handles, owners, and the handle to come.

Strict readers refuse a file where two things share a handle or where an owner does not exist.
"""


def faults(path):
    """What is wrong with the handles of a file, as short texts; none for a sound file."""
    lines = path.read_text(encoding="ascii", errors="replace").splitlines()
    if len(lines) % 2:
        return ["odd number of lines"]
    try:
        tags = [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2])]
    except ValueError as fault:
        return [f"group code: {fault}"]
    found = []
    if tags[-1:] != [(0, "EOF")]:
        found.append("no EOF at the end")
    handles, owners, seed = _handles(tags)
    doubled = sorted({handle for handle in handles if handles.count(handle) > 1})
    found += [f"handle {handle} is given {handles.count(handle)} times" for handle in doubled]
    given = set(handles)
    found += [f"owner {owner} does not exist" for owner in sorted(owners) if owner not in given and int(owner, 16)]
    if handles and seed is not None and max(int(handle, 16) for handle in handles) >= seed:
        found.append("$HANDSEED is not above all handles")
    return found


def _handles(tags):
    """Handles in order, owners, and the value of $HANDSEED."""
    handles, owners, seed = [], set(), None
    kind, in_header, head = "", False, True
    for i, (code, value) in enumerate(tags):
        if code == 0:
            kind, head = value, True
            in_header = kind == "SECTION" and tags[i + 1 : i + 2] == [(2, "HEADER")]
        elif in_header:
            if (code, value) == (9, "$HANDSEED"):
                seed = int(tags[i + 1][1], 16)
        elif code in (100, 102):
            # Past the first marker or group, 330 means other things than the owner.
            head = code == 102 and head and value == "}"
        elif code == (105 if kind == "DIMSTYLE" else 5):
            handles.append(value)
        elif code == 330 and head:
            owners.add(value)
    return handles, owners, seed
