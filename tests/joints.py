"""Which things hang together, by plain search; shares nothing with the library's own way."""


def together(things, pairs):
    """The first thing of each part that hangs together: thing -> first thing of its part."""
    beside = {thing: set() for thing in things}
    for one, other in pairs:
        beside[one].add(other)
        beside[other].add(one)
    found = {}
    for start in beside:
        ahead = [start]
        while ahead:
            here = ahead.pop()
            if here not in found:
                found[here] = start
                ahead += beside[here]
    return found
