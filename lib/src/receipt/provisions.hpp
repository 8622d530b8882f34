// The provisions of a receipt, each with all that is told of it, and which of them made a
// conclusion come out otherwise. Internal.
#pragma once

#include "receipt/tree.hpp"
#include "toprail/replay.hpp"

#include <map>
#include <set>
#include <string>
#include <vector>

namespace toprail {

struct ToldProvision {
    /// Never null; points into the receipt.
    const Json* step = nullptr;
    std::string status;
    std::string effect;
    struct Told {
        std::string says;
        std::string truth;
        /// What a named condition comes down to; empty in receipts of format 1.
        std::vector<Told> since;
    };
    std::vector<Told> reasons;
    /// Whether `since` was recorded.
    bool in_depth = false;
    /// For a limit, the quantity's value where one is told.
    std::string value;
    /// Effect and reasons as they stand in the receipt, in their order.
    Json told_apart;

    [[nodiscard]] bool bears() const;
    /// Effect and reasons in words.
    [[nodiscard]] std::string wording() const;
};

/// By name. The receipt must outlive it.
class Provisions {
  public:
    explicit Provisions(const Json& root);
    [[nodiscard]] const ToldProvision* find(const std::string& name) const;
    [[nodiscard]] const std::map<std::string, ToldProvision>& all() const { return all_; }

  private:
    std::map<std::string, ToldProvision> all_;
};

/// What turned behind a duty, choice or quantity of this name. `bearing` are the provisions that it
/// rested on then or rests on now.
std::vector<ProvisionTurn> turns_behind(const std::string& name, std::set<std::string> bearing,
                                        const Provisions& then, const Provisions& today);

/// Of these provisions those that turned, or of which anything is worded otherwise.
std::vector<ProvisionTurn> turns_of(const std::set<std::string>& bearing, const Provisions& then,
                                    const Provisions& today);

}  // namespace toprail
