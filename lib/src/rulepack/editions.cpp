// Entry points: arrange_editions, adopt_provisions.
#include "rulepack/resolve.hpp"

#include <algorithm>
#include <string_view>
#include <tuple>
#include <unordered_map>

namespace toprail {
namespace {

Date day_before(Date day) {
    return Date::from_days(day.days() - 1);
}

void close_edition(Model& model, PackId earlier_id, PackId later_id, Findings& findings) {
    Rulepack& earlier = model.packs[earlier_id.value];
    const Rulepack& later = model.packs[later_id.value];
    if (later.from == earlier.from || (earlier.until && *earlier.until >= later.from)) {
        Finding& finding =
            findings.add(Kind::edition_overlap, later.span,
                         "two editions of " + later.id + " cover " + later.from.text());
        finding.others.push_back({place_of(earlier.span), "the other edition"});
        finding.help = later.from == earlier.from
                           ? "two files hold the same edition: take one away, or let the newer one "
                             "begin on the day on which it takes effect"
                           : "end the earlier one with until: " + day_before(later.from).text();
    } else if (earlier.until && *earlier.until < day_before(later.from)) {
        Finding& finding = findings.add(Kind::edition_gap, later.span,
                                        "no edition of " + later.id + " covers the days from " +
                                            Date::from_days(earlier.until->days() + 1).text() +
                                            " to " + day_before(later.from).text());
        finding.others.push_back({place_of(earlier.span), "the earlier edition"});
        finding.help =
            "leave \"until\" out of the earlier one, or end it on " + day_before(later.from).text();
    }
    // Two of one day are told as such; to cut the one to nothing would bring findings of its own.
    const bool same_day = later.from == earlier.from;
    earlier.last_day = earlier.until || same_day ? earlier.until : day_before(later.from);
}

// Packs in an order in which every adopted pack stands before the ones that adopt it.
class AdoptionOrder {
  public:
    AdoptionOrder(Model& model, Findings& findings)
        : model_(model),
          findings_(findings),
          state_(model.packs.size(), State::fresh) {}

    std::vector<PackId> order() {
        for (std::size_t i = 0; i < model_.packs.size(); ++i) {
            visit(PackId(i), 0);
        }
        return std::move(order_);
    }

  private:
    enum class State { fresh, open, done };
    static constexpr unsigned deepest_chain = 16;

    void visit(PackId id, unsigned depth) {
        if (state_[id.value] == State::done) {
            return;
        }
        Rulepack& pack = model_.packs[id.value];
        state_[id.value] = State::open;
        for (Adoption& adoption : pack.adopts) {
            const auto found = model_.authority_names.find(adoption.pack.text);
            if (found == model_.authority_names.end()) {
                std::vector<std::string> known;
                for (const auto& [name, authority] : model_.authority_names) {
                    known.push_back(name);
                }
                report_unknown(Kind::unknown_authority, adoption.pack, "rulepack", known,
                               findings_);
                continue;
            }
            const PackId newest = model_.authorities[found->second.value].editions.back();
            if (state_[newest.value] == State::open) {
                findings_.add(Kind::circle, adoption.pack.span,
                              pack.id + " adopts a pack that adopts it in turn");
                continue;
            }
            if (depth >= deepest_chain) {
                findings_
                    .add(Kind::too_deep, adoption.pack.span,
                         "more than " + std::to_string(deepest_chain) +
                             " rulepacks adopt one another in a row")
                    .help = "adopt the rulepack in which the provisions are written";
                continue;
            }
            adoption.adopted = newest;
            visit(newest, depth + 1);
        }
        state_[id.value] = State::done;
        order_.push_back(id);
    }

    Model& model_;
    Findings& findings_;
    std::vector<State> state_;
    std::vector<PackId> order_;
};

// Provisions of one pack by their ids: the places in the model.
using Taken = std::unordered_map<std::string, std::size_t>;

// No shelf that people wrote comes near it; packs that adopt packs could copy without end.
constexpr std::size_t most_provisions = 1'000'000;

void adopt_into(Model& model, PackId adopter, const Adoption& adoption, Taken& taken,
                Findings& findings) {
    std::vector<bool> left_out(adoption.leaves_out.size(), false);
    std::unordered_map<std::string_view, std::size_t> names;
    for (std::size_t i = 0; i < adoption.leaves_out.size(); ++i) {
        names.emplace(adoption.leaves_out[i].text, i);
    }
    const std::size_t before = model.provisions.size();
    for (std::size_t i = 0; i < before; ++i) {
        if (model.provisions[i].pack != adoption.adopted) {
            continue;
        }
        if (const auto named = names.find(model.provisions[i].id); named != names.end()) {
            left_out[named->second] = true;
            continue;
        }
        // Here and not later: what is adopted twice would be adopted four times by the next pack.
        const auto [known, fresh] = taken.emplace(model.provisions[i].id, model.provisions.size());
        if (!fresh) {
            Finding& finding = findings.add(Kind::name_taken, model.provisions[i].span,
                                            "the provision \"" + model.provisions[i].id +
                                                "\" stands twice in " + model[adopter].id);
            finding.others.push_back(
                {place_of(model.provisions[known->second].span), "the other one"});
            continue;
        }
        if (model.provisions.size() >= most_provisions) {
            findings.add(Kind::too_many_nodes, adoption.pack.span,
                         "with what is adopted here the shelf has more than " +
                             std::to_string(most_provisions) + " provisions");
            return;
        }
        Provision copy = model.provisions[i];
        copy.pack = adopter;
        if (adoption.where) {
            copy.guards.push_back({*adoption.where, adopter});
        }
        model.provisions.push_back(std::move(copy));
    }
    for (std::size_t i = 0; i < left_out.size(); ++i) {
        if (!left_out[i]) {
            findings.add(Kind::unknown_provision, adoption.leaves_out[i].span,
                         "no provision of " + adoption.pack.text + " is called \"" +
                             adoption.leaves_out[i].text + "\"");
        }
    }
}

}  // namespace

void arrange_editions(Model& model, Findings& findings) {
    for (std::size_t i = 0; i < model.packs.size(); ++i) {
        Rulepack& pack = model.packs[i];
        const auto [found, fresh] =
            model.authority_names.emplace(pack.id, AuthorityId(model.authorities.size()));
        if (fresh) {
            model.authorities.push_back({pack.id, pack.title, {}});
        }
        pack.authority = found->second;
        model.authorities[found->second.value].editions.emplace_back(i);
    }
    for (Authority& authority : model.authorities) {
        std::vector<PackId>& editions = authority.editions;
        std::sort(editions.begin(), editions.end(), [&model](PackId a, PackId b) {
            return std::tie(model[a].from, model[a].source->name()) <
                   std::tie(model[b].from, model[b].source->name());
        });
        for (std::size_t i = 0; i + 1 < editions.size(); ++i) {
            close_edition(model, editions[i], editions[i + 1], findings);
        }
        Rulepack& newest = model.packs[editions.back().value];
        newest.last_day = newest.until;
        authority.title = newest.title;
    }
}

void adopt_provisions(Model& model, Findings& findings) {
    for (const PackId adopter : AdoptionOrder(model, findings).order()) {
        // A copy: adopt_into grows the provisions, not the packs, but the loop must not depend on
        // it.
        const std::vector<Adoption> adoptions = model.packs[adopter.value].adopts;
        Taken taken;
        for (std::size_t i = 0; !adoptions.empty() && i < model.provisions.size(); ++i) {
            if (model.provisions[i].pack == adopter) {
                taken.emplace(model.provisions[i].id, i);
            }
        }
        for (const Adoption& adoption : adoptions) {
            if (adoption.adopted.valid()) {
                adopt_into(model, adopter, adoption, taken, findings);
            }
        }
    }
    const auto key = [&model](const Provision& p) {
        const Rulepack& pack = model[p.pack];
        return std::make_tuple(std::string_view(pack.id), pack.from, std::string_view(p.id));
    };
    std::stable_sort(model.provisions.begin(), model.provisions.end(),
                     [&key](const Provision& a, const Provision& b) { return key(a) < key(b); });
}

}  // namespace toprail
