// Shelves that several tests decide with.
#pragma once

#include "toprail/shelf.hpp"

#include <doctest/doctest.h>

#include <initializer_list>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace toprail::test {

/// All findings as people read them, for the message of a failed test.
inline std::string told(const std::vector<Finding>& findings) {
    std::string text;
    for (const Finding& finding : findings) {
        text += render_text(finding);
    }
    return text;
}

/// The folder of rulepacks that is shipped.
inline std::string shipped_folder() {
    return TOPRAIL_SOURCE_DIR "/rulepacks";
}

/// The shipped rulepacks, loaded once for the whole program.
inline const Shelf& shipped_shelf() {
    static const Shelf shelf = [] {
        LoadedShelf loaded = load_shelf(shipped_folder());
        if (!loaded.shelf) {
            throw std::runtime_error("the shipped rulepacks do not load:\n" +
                                     told(loaded.findings));
        }
        return *loaded.shelf;
    }();
    return shelf;
}

/// The shipped rulepacks and the filled templates, loaded once for the whole program.
inline const Shelf& shelf_with_templates() {
    static const Shelf shelf = [] {
        LoadedShelf loaded = load_folders({shipped_folder(), shipped_folder() + "/templates"});
        if (!loaded.shelf) {
            throw std::runtime_error("the templates do not load:\n" + told(loaded.findings));
        }
        return *loaded.shelf;
    }();
    return shelf;
}

/// A shelf of the given texts; the test fails when they do not load.
inline Shelf shelf_of(std::vector<SourceText> texts) {
    LoadedShelf loaded = load_shelf(std::move(texts));
    if (!loaded.shelf) {
        throw std::runtime_error("the texts do not load:\n" + told(loaded.findings));
    }
    return *loaded.shelf;
}

/// A day that the test knows to exist.
inline Date day(std::string_view text) {
    return Date::parse(text).value();
}

using GivenFacts = std::initializer_list<std::pair<std::string_view, std::string_view>>;

inline Facts facts_of(GivenFacts given) {
    Facts facts;
    for (const auto& [name, value] : given) {
        facts.set(name, value);
    }
    return facts;
}

/// The decision of a case whose facts can be used; the test fails when they cannot.
inline Decision decided(const Shelf& shelf, const Facts& facts, std::string_view on = "2024-06-01",
                        const DecideOptions& options = {}) {
    Answer answer = shelf.decide(facts, day(on), options);
    if (!answer.decision) {
        throw std::runtime_error("the case cannot be decided:\n" + told(answer.findings));
    }
    return std::move(*answer.decision);
}

inline Decision decided(const Shelf& shelf, GivenFacts given, std::string_view on = "2024-06-01",
                        const DecideOptions& options = {}) {
    return decided(shelf, facts_of(given), on, options);
}

}  // namespace toprail::test
