// Entry points: loading shelves.
#include "entry.hpp"
#include "held.hpp"

#include <cstddef>
#include <limits>

// As it was before it gained `skip_others`.
template <>
inline constexpr std::size_t
    toprail::c::first_size<toprail_load_options> = offsetof(toprail_load_options, skip_others);

using namespace toprail::c;

namespace {

template <class Number, class Given>
void set_limit(Number& limit, Given given) {
    if (given != 0) {
        limit =
            static_cast<Number>(std::min<std::uint64_t>(given, std::numeric_limits<Number>::max()));
    }
}

toprail::LoadOptions load_options(const toprail_load_options* from) {
    const toprail_load_options given = options(from);
    toprail::LoadOptions how;
    set_limit(how.limits.bytes, given.most_bytes);
    set_limit(how.limits.nodes, given.most_nodes);
    set_limit(how.limits.depth, given.most_depth);
    set_limit(how.limits.findings, given.most_findings);
    return how;
}

toprail_status hand_out_shelf(toprail::LoadedShelf loaded, toprail_shelf** shelf,
                              toprail_findings** findings) {
    Kept<toprail_findings> told = keep_findings(std::move(loaded.findings), findings);
    if (!loaded.shelf) {
        hand_out(told, findings);
        refuse(TOPRAIL_FINDINGS, "the rulepacks cannot be used; the findings say why");
    }
    Kept<toprail_shelf> kept(std::make_shared<HeldShelf>(*std::move(loaded.shelf)));
    *shelf = kept.release();
    hand_out(told, findings);
    return TOPRAIL_OK;
}

// Places hold NULL from the start: then a call that fails has handed out nothing.
void clear(toprail_shelf** shelf, toprail_findings** findings) {
    if (findings != nullptr) {
        *findings = nullptr;
    }
    place(shelf) = nullptr;
}

}  // namespace

extern "C" {

toprail_status toprail_shelf_from_folders(const toprail_text* folders, size_t count,
                                          const toprail_load_options* how, toprail_shelf** shelf,
                                          toprail_findings** findings) {
    return entry([&] {
        clear(shelf, findings);
        return hand_out_shelf(toprail::load_folders(strings(folders, count), load_options(how)),
                              shelf, findings);
    });
}

toprail_status toprail_shelf_from_texts(const toprail_source* sources, size_t count,
                                        const toprail_load_options* how, toprail_shelf** shelf,
                                        toprail_findings** findings) {
    return entry([&] {
        clear(shelf, findings);
        hold_to_list(sources, count);
        const bool found = options(how).skip_others != 0;
        std::vector<toprail::SourceText> texts;
        for (size_t i = 0; i < count; ++i) {
            texts.push_back(
                {std::string(view(sources[i].name)), std::string(view(sources[i].text)), found});
        }
        return hand_out_shelf(toprail::load_shelf(std::move(texts), load_options(how)), shelf,
                              findings);
    });
}
}
