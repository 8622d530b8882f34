// Reads a file of published cases: facts, the answer that the source gives, and the source itself.
#pragma once

#include "reading/tree.hpp"
#include "shelf/expectations.hpp"
#include "toprail/date.hpp"
#include "toprail/facts.hpp"
#include "toprail/shelf.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace toprail::test {

/// What a quantity must come to: a figure, exactly or within a distance, or that it does not apply.
struct ExpectedQuantity {
    Word name;
    std::optional<Figure> value;  // empty: does not apply
    std::optional<Figure> within;
};

struct ExpectedFit {
    Word name;
    Word verdict;
};

struct PublishedCase {
    std::string name;
    std::string source;
    std::optional<Date> on;
    std::vector<std::string> authorities;
    Facts facts;
    Expectations expected;
    std::vector<ExpectedFit> fit;
    std::vector<ExpectedQuantity> quantities;
    std::string argued;
    Span span;
};

/// The cases of one file. They point into the tree and the source, which are kept with them.
struct CaseFile {
    std::shared_ptr<const Source> source;
    std::shared_ptr<const Node> tree;
    std::vector<PublishedCase> cases;
    /// What is wrong with the file itself; a sound file has none.
    std::vector<Finding> findings;
};

CaseFile read_case_file(const std::string& path);

/// Everything that comes out differently from what the case says, one text each.
std::vector<std::string> differences(const Shelf& shelf, const PublishedCase& published);

}  // namespace toprail::test
