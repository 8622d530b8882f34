// A shelf of rulepacks, and deciding a case with it.
//
//   toprail::LoadedShelf loaded = toprail::load_shelf("rulepacks");
//   toprail::Facts facts;
//   facts.set("lift-mechanism", "scissor").set("platform-height", "14 ft");
//   toprail::Answer answer = loaded.shelf->decide(facts, *toprail::Date::parse("2024-06-01"));
//
// A Shelf is immutable and cheap to copy; copies share one set of rules, and any number of threads
// may decide with it at once. A new edition is a new shelf: swap the copy that new cases use.
#pragma once

#include "toprail/date.hpp"
#include "toprail/decision.hpp"
#include "toprail/facts.hpp"
#include "toprail/finding.hpp"
#include "toprail/limits.hpp"

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace spdlog {
class logger;
}

namespace toprail {

struct ShelfData;

/// A file that is already in memory.
struct SourceText {
    std::string name;
    std::string text;
    /// Found in a folder rather than named: left out when it is neither a rulepack nor a
    /// vocabulary, where a text that was named is reported.
    bool found = false;
};

struct LoadOptions {
    Limits limits;
    /// Whether cases are to be decided: then a shelf without a rulepack is an error. Who looks at
    /// vocabularies alone sets it to false.
    bool for_deciding = true;
    /// Told what was loaded; may be null. The library never logs anywhere else.
    std::shared_ptr<spdlog::logger> logger;
    /// Asked about every rulepack and vocabulary, with its bytes, before anything in it counts. A
    /// text given back says why the file is refused; an empty one lets it pass. May be null: every
    /// file passes.
    std::function<std::string(const SourceText&)> approve;
};

/// How a case is to be decided, apart from its facts and date.
struct DecideOptions {
    /// Ids of the authorities that govern. Empty: the governing rulepack on the shelf decides;
    /// where there is none, every authority on the shelf governs.
    std::vector<std::string> authorities;
    /// How many diagram nodes the exact search may make. Past it the answer stays sound, and says
    /// that it may name more outcomes and facts than needed.
    std::size_t budget = 200'000;
};

struct Answer {
    /// Empty when the facts could not be used; then `findings` says why.
    std::optional<Decision> decision;
    std::vector<Finding> findings;
};

/// A fact that a case may give, for hosts that build their own forms.
struct FactInfo {
    std::string name;
    std::string type;
    std::string unit;
    std::vector<std::string> values;
    std::string reads;
    std::string ask;
    std::string why;
    bool plan = false;
    bool may_not_apply = false;
};

/// A duty that packs may speak of, in the order of the vocabulary.
struct DutyInfo {
    std::string name;
    std::string asks;
    std::string reads;
};

/// One edition of one authority.
struct PackInfo {
    std::string authority;
    std::string title;
    std::string standing;
    std::string from;
    std::string last_day;
    std::string verified_through;
    std::string picked_by;
    std::size_t provisions = 0;
    std::size_t unverified = 0;
    std::vector<std::string> what_was_read;
    std::vector<std::string> what_is_open;
};

class Shelf {
  public:
    explicit Shelf(std::shared_ptr<const ShelfData> data);

    /// Decides one case. `on` is the deciding date; it is never taken from a clock.
    [[nodiscard]] Answer decide(const Facts& facts, Date on,
                                const DecideOptions& options = {}) const;

    /// What decide would find wrong with a case, without deciding it: empty when it would answer.
    /// For whoever shows answers one by one and wants to know first that none is missing.
    [[nodiscard]] std::vector<Finding> check(const Facts& facts, Date on,
                                             const DecideOptions& options = {}) const;

    [[nodiscard]] std::vector<FactInfo> facts() const;
    [[nodiscard]] std::vector<DutyInfo> duties() const;
    [[nodiscard]] std::vector<PackInfo> packs() const;
    [[nodiscard]] const ShelfData& data() const { return *data_; }

  private:
    std::shared_ptr<const ShelfData> data_;
};

struct LoadedShelf {
    /// Empty when some finding is an error.
    std::optional<Shelf> shelf;
    std::vector<Finding> findings;
};

/// Reads every .yaml file below the folder that holds a vocabulary or a rulepack, in the order of
/// their paths. Files that are neither (facts files) are left out, and so is all below a folder
/// named "templates", unless it is the folder that was asked for. Links to files are followed,
/// links to folders are not; a .yaml link that leads nowhere, or a pipe, is a finding.
LoadedShelf load_shelf(const std::string& folder, const LoadOptions& options = {});

/// The same for several folders, such as the shipped rulepacks and a company's own.
LoadedShelf load_folders(const std::vector<std::string>& folders, const LoadOptions& options = {});

/// The .yaml files below a folder in the order of their paths; nothing when it cannot be read.
std::vector<std::string> shelf_files(const std::string& folder);
/// The same, and what load_shelf would find wrong with the folder itself is added to `findings`:
/// files that would be passed over for their names, links that lead nowhere.
std::vector<std::string> shelf_files(const std::string& folder, std::vector<Finding>& findings);
LoadedShelf load_shelf(std::vector<SourceText> texts, const LoadOptions& options = {});

/// Decides every worked case of every pack and reports those that come out differently, warnings on
/// parts that nothing uses, and the like: what `toprail lint` shows beyond the findings of loading.
std::vector<Finding> lint_shelf(const Shelf& shelf);

}  // namespace toprail
