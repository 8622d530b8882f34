// A shelf on which a rulepack says who governs.
#pragma once

#include "support/small_shelf.hpp"

namespace toprail::test {

/// t.one, which asks for tie-off, governs in a roofed lift; t.two, which does not, always.
inline Shelf shelf_with_governing_pack() {
    return shelf_of({small_vocabulary(),
                     small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
                     small_pack("provisions:\n" + frees_tie_off("a"), "t.two"),
                     small_pack("provisions:\n" + provision("one", "governs: t.one", "roofed") +
                                    provision("two", "governs: t.two"),
                                "t.governing", "guidance")});
}

}  // namespace toprail::test
