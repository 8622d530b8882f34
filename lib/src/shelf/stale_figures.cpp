// Entry point: report_stale_figures. A text for readers that tells a height or weight, none of
// which stands in the rule it describes, was most likely left behind by an edit.
#include "shelf/checks.hpp"

#include <algorithm>
#include <initializer_list>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace toprail {
namespace {

// Which way a figure bounds: what lies above it counts, what lies below, or neither is said.
enum class Way { none, up, down };

struct Told {
    Figure figure;
    std::size_t from = 0;
    std::size_t size = 0;
    Way way = Way::none;
};

// By the words in front of the figure.
Way way_before(std::string_view text, std::size_t figure) {
    const std::string_view before = text.substr(0, figure);
    const auto ends_with_any = [before](std::initializer_list<std::string_view> words) {
        return std::any_of(words.begin(), words.end(), [before](std::string_view word) {
            return before.ends_with(word) &&
                   (before.size() == word.size() || before[before.size() - word.size() - 1] == ' ');
        });
    };
    if (ends_with_any({"no more than ", "at most ", "below ", "Below ", "under ", "Under ",
                       "less than ", "up to ", "Up to ", "within "})) {
        return Way::down;
    }
    return ends_with_any({"above ", "Above ", "over ", "Over ", "more than ", "at least ",
                          "exceeds ", "exceeding "})
               ? Way::up
               : Way::none;
}

Way way_of(Verb verb) {
    switch (verb) {
    case Verb::more_than:
    case Verb::at_least:
        return Way::up;
    case Verb::at_most:
    case Verb::less_than:
        return Way::down;
    default:
        return Way::none;
    }
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// The figure that starts there: "10 ft", "5 ft 6 in", "1,800 lbf". Parts are taken as long as they
// make one figure.
std::optional<Told> figure_at(std::string_view text, std::size_t from) {
    std::optional<Told> told;
    std::size_t at = from;
    while (at < text.size() && is_digit(text[at])) {
        std::size_t end = std::min(text.find_first_not_of("0123456789.,", at), text.size());
        if (end >= text.size() || text[end] != ' ') {
            break;
        }
        const std::size_t unit = leading_unit(text.substr(end + 1));
        if (unit == 0) {
            break;
        }
        end += 1 + unit;
        const FigureReading reading = read_figure(text.substr(from, end - from));
        if (!reading.figure) {
            break;
        }
        told = Told{*reading.figure, from, end - from, way_before(text, from)};
        at = end + 1;
    }
    return told;
}

std::vector<Told> figures_in(std::string_view text) {
    std::vector<Told> all;
    for (std::size_t at = 0; at < text.size(); ++at) {
        const bool begins =
            is_digit(text[at]) && (at == 0 || text[at - 1] == ' ' || text[at - 1] == '(');
        if (const auto told = begins ? figure_at(text, at) : std::nullopt) {
            all.push_back(*told);
            at += told->size - 1;
        }
    }
    return all;
}

struct Written {
    Figure figure;
    Span span;
    Way way = Way::none;
};

// The figures of a rule: those that stand in it, and those behind the names that it uses.
class Rule {
  public:
    explicit Rule(const Model& model) : model_(model) {}

    void add(const ConditionTree& tree) {
        add(tree, true);
        follow_all();
    }
    void add(const Quantity& quantity) {
        add(quantity, true);
        follow_all();
    }
    void add(const Effect& effect) {
        if (effect.kind != EffectKind::limit) {
            return;
        }
        if (effect.bound_figure) {
            own_.push_back(
                {*effect.bound_figure, effect.bound.span, effect.at_most ? Way::down : Way::up});
        }
        follow(effect.bound_ref);
        follow(effect.limited);
        follow_all();
    }

    // The text tells a figure of a kind that the rule has, and none of the rule's figures. A gist
    // tells of more than its rule, so there only a figure counts that bounds the `same_way`.
    [[nodiscard]] std::optional<std::pair<Told, Written>> contradicted_by(std::string_view text,
                                                                          bool same_way) const {
        if (followed_.size() > most_behind) {
            return std::nullopt;
        }
        const std::vector<Told> told = figures_in(text);
        for (const Written& written : own_) {
            const auto of_its_kind = [&written](const Told& each) {
                return each.figure.dimension == written.figure.dimension;
            };
            const auto clashes = [&](const Told& each) {
                return of_its_kind(each) &&
                       (!same_way || (each.way != Way::none && each.way == written.way));
            };
            const auto right = [&](const Told& each) { return of_its_kind(each) && has(each); };
            const auto first = std::find_if(told.begin(), told.end(), clashes);
            if (first != told.end() && std::none_of(told.begin(), told.end(), right)) {
                return std::pair(*first, written);
            }
        }
        return std::nullopt;
    }

  private:
    [[nodiscard]] bool has(const Told& told) const {
        const auto equal = [&told](const Written& written) {
            return written.figure == told.figure;
        };
        return std::any_of(own_.begin(), own_.end(), equal) ||
               std::any_of(behind_.begin(), behind_.end(), equal);
    }

    void enter(const Figure& figure, const Span& span, Way way, bool own) {
        (own ? own_ : behind_).push_back({figure, span, way});
    }

    void add(const ConditionTree& tree, bool own) {
        if (tree.test.figure && tree.test.figure->dimension != Dimension{}) {
            enter(*tree.test.figure, tree.sentence.whole.span, way_of(tree.test.verb), own);
        }
        follow(tree.test.subject);
        follow(tree.test.other);
        for (const ConditionTree& part : tree.parts) {
            add(part, own);
        }
    }

    void add(const Quantity& quantity, bool own) {
        for (const Piece& piece : quantity.pieces) {
            if (piece.where) {
                add(*piece.where, own);
            }
            for (const Term& term : piece.formula.terms) {
                if (term.operation == Operation::figure && term.figure.dimension != Dimension{}) {
                    enter(term.figure, term.span, Way::none, own);
                }
            }
            for (const Ref ref : piece.refs) {
                follow(ref);
            }
        }
    }

    void follow(Ref ref) {
        if (ref.kind != RefKind::condition && ref.kind != RefKind::quantity) {
            return;
        }
        if (followed_.emplace(ref.kind, ref.index).second) {
            open_.push_back(ref);
        }
    }

    // Names that lie behind a rule; of one with more nothing is said. Each rule walks by itself,
    // and chains may be as long as a file.
    static constexpr std::size_t most_behind = 500;

    void follow_all() {
        while (!open_.empty() && followed_.size() <= most_behind) {
            const Ref ref = open_.back();
            open_.pop_back();
            if (ref.kind == RefKind::condition) {
                add(model_.conditions[ref.index].tree, false);
            } else {
                add(model_.quantities[ref.index], false);
            }
        }
    }

    const Model& model_;
    std::vector<Written> own_;
    std::vector<Written> behind_;
    std::set<std::pair<RefKind, std::uint32_t>> followed_;
    std::vector<Ref> open_;
};

class Checker {
  public:
    Checker(const Model& model, Findings& findings) : model_(model), findings_(findings) {}

    void run() {
        for (const auto& tree : model_.trees) {
            for (const char* key : {"conditions", "quantities"}) {
                if (const Node* named = tree->find(key)) {
                    note_texts(*named);
                }
            }
        }
        for (const Condition& condition : model_.conditions) {
            Rule rule(model_);
            rule.add(condition.tree);
            hold(rule, condition.reads, text_of(condition.span, "reads"));
        }
        for (const Quantity& quantity : model_.quantities) {
            Rule rule(model_);
            rule.add(quantity);
            hold(rule, quantity.reads, text_of(quantity.span, "reads"));
        }
        for (const Provision& provision : model_.provisions) {
            if (provision.pack != provision.written_in) {
                continue;  // said where it is written
            }
            Rule rule(model_);
            if (provision.where) {
                rule.add(*provision.where);
            }
            rule.add(provision.effect);
            hold(rule, provision.gist, gist_of(provision), true);
        }
    }

  private:
    using Spot = std::pair<const Source*, std::pair<std::uint32_t, std::uint32_t>>;
    static Spot spot(const Span& span) { return {span.source, {span.line, span.column}}; }

    void note_texts(const Node& named) {
        for (const Entry& entry : named.entries) {
            nodes_.emplace(spot(entry.key_span), &entry.value);
        }
    }

    [[nodiscard]] const Node* text_of(const Span& name, std::string_view key) const {
        const auto found = nodes_.find(spot(name));
        return found == nodes_.end() ? nullptr : found->second->find(key);
    }

    [[nodiscard]] const Node* gist_of(const Provision& provision) const {
        const Node* all = model_[provision.written_in].tree->find("provisions");
        if (all == nullptr) {
            return nullptr;
        }
        for (const Node& item : all->items) {
            const Node* id = item.find("id");
            if (id != nullptr && id->text == provision.id) {
                return item.find("gist");
            }
        }
        return nullptr;
    }

    // The figure alone where it stands on the first line of the text, else the text.
    static Span marked(const Node& text, const Told& told) {
        const Span whole = text.span;
        const Span part = whole.part(told.from + (text.quoted ? 1 : 0), told.size);
        const std::string& bytes = part.source->bytes();
        const std::size_t at = part.source->offset(part.line, part.column);
        const bool there = bytes.compare(at, told.size, text.text, told.from, told.size) == 0;
        return there ? part : whole;
    }

    void hold(const Rule& rule, const std::string& text, const Node* node, bool same_way = false) {
        const auto clash = node == nullptr ? std::nullopt : rule.contradicted_by(text, same_way);
        if (!clash) {
            return;
        }
        Finding& finding = findings_.add(Kind::stale_figure, marked(*node, clash->first),
                                         "the text tells \"" + clash->first.figure.text +
                                             "\", and the rule has no such figure");
        finding.others.push_back({place_of(clash->second.span), "the rule says"});
        finding.help = "bring the text and the rule to one figure";
    }

    const Model& model_;
    Findings& findings_;
    std::map<Spot, const Node*> nodes_;
};

}  // namespace

void report_stale_figures(const Model& model, Findings& findings) {
    Checker(model, findings).run();
}

}  // namespace toprail
