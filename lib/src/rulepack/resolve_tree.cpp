// Entry point: resolve_tree. What a sentence may say depends on the type of its subject.
#include "reading/fields.hpp"
#include "rulepack/resolve.hpp"

#include <algorithm>

namespace toprail {
namespace {

class SentenceResolver {
  public:
    SentenceResolver(const Sentence& sentence, const Model& model, const Scope& scope,
                     Findings& findings)
        : sentence_(sentence),
          model_(model),
          scope_(scope),
          findings_(findings) {}

    Test resolve() {
        const Ref subject = look_up(sentence_.subject, scope_, findings_);
        if (subject.kind == RefKind::none) {
            return {};
        }
        test_.subject = subject;
        test_.verb = sentence_.verb;
        test_.negated = sentence_.negated;
        if (sentence_.verb == Verb::holds) {
            holds();
        } else if (sentence_.verb <= Verb::is_not_one_of) {
            one_of();
        } else if (sentence_.verb <= Verb::exactly) {
            compare();
        } else {
            day();
        }
        return sound_ ? test_ : Test{};
    }

  private:
    void slip(const Span& span, std::string message, std::string help) {
        sound_ = false;
        findings_.add(Kind::wrong_use, span, std::move(message)).help = std::move(help);
    }

    [[nodiscard]] const Fact* fact() const {
        return test_.subject.kind == RefKind::fact ? &model_.facts[test_.subject.index] : nullptr;
    }

    [[nodiscard]] std::string quoted_subject() const {
        return "\"" + sentence_.subject.text + "\"";
    }

    [[nodiscard]] bool measured(Ref ref) const {
        if (ref.kind == RefKind::quantity) {
            return true;
        }
        if (ref.kind != RefKind::fact) {
            return false;
        }
        const FactType type = model_.facts[ref.index].type;
        return type == FactType::measured || type == FactType::count;
    }

    // How to speak of the subject, for the help of a misuse.
    [[nodiscard]] std::string how_to_ask() const {
        const std::string& name = sentence_.subject.text;
        if (test_.subject.kind == RefKind::condition) {
            return "write " + name + " or not " + name;
        }
        if (measured(test_.subject)) {
            return "write " + name +
                   " is more than, at least, at most, less than or exactly a figure";
        }
        switch (fact()->type) {
        case FactType::yes_no:
            return "write " + name + " or not " + name;
        case FactType::date:
            return "write " + name + " is before, on or before, on, on or after, or after a day";
        default:
            return "write " + name + " is one of its values: " + list_or(fact()->values);
        }
    }

    void holds() {
        test_.kind = Test::Kind::truth;
        const bool yes_no = fact() != nullptr && fact()->type == FactType::yes_no;
        if (test_.subject.kind != RefKind::condition && !yes_no) {
            slip(sentence_.subject.span, quoted_subject() + " is not true or false by itself",
                 how_to_ask());
        }
    }

    void one_of() {
        test_.kind = Test::Kind::one_of;
        const Fact* subject = fact();
        if (subject == nullptr ||
            (subject->type != FactType::choice && subject->type != FactType::yes_no)) {
            slip(sentence_.subject.span, quoted_subject() + " has no list of values", how_to_ask());
            return;
        }
        static const std::vector<std::string> yes_no{"no", "yes"};
        const std::vector<std::string>& values =
            subject->type == FactType::yes_no ? yes_no : subject->values;
        std::vector<bool> named(values.size(), false);
        for (const Word& word : sentence_.objects) {
            const auto found = std::find(values.begin(), values.end(), word.text);
            if (found == values.end()) {
                sound_ = false;
                Finding& finding = findings_.add(Kind::unknown_value, word.span,
                                                 "\"" + word.text + "\" is not a value of " +
                                                     sentence_.subject.text);
                const std::string near = nearest(word.text, values);
                const bool yes_or_no = word.text == "yes" || word.text == "no";
                finding.help = near.empty() || yes_or_no ? "its values are " + list_or(values)
                                                         : "did you mean " + near + "?";
            } else {
                named[static_cast<std::size_t>(found - values.begin())] = true;
            }
        }
        const bool wanted = sentence_.verb == Verb::is || sentence_.verb == Verb::is_one_of;
        for (std::size_t i = 0; i < values.size(); ++i) {
            if (named[i] == wanted) {
                test_.values.push_back(static_cast<std::uint32_t>(i));
            }
        }
    }

    void compare() {
        test_.kind = Test::Kind::compare;
        if (!measured(test_.subject)) {
            slip(sentence_.subject.span, quoted_subject() + " is not measured", how_to_ask());
            return;
        }
        const Word& object = sentence_.objects.front();
        const Dimension dimension = model_.dimension(test_.subject);
        Dimension other;
        if (is_name(object.text)) {
            test_.other = look_up(object, scope_, findings_);
            if (test_.other.kind == RefKind::none) {
                sound_ = false;
                return;
            }
            if (!measured(test_.other)) {
                slip(object.span, "\"" + object.text + "\" is not measured",
                     "compare with a figure or a quantity");
                return;
            }
            other = model_.dimension(test_.other);
        } else {
            test_.figure = figure_of(object, findings_);
            if (!test_.figure) {
                sound_ = false;
                return;
            }
            other = test_.figure->dimension;
        }
        if (other != dimension) {
            sound_ = false;
            findings_
                .add(Kind::wrong_dimension, object.span,
                     quoted_subject() + " is a " + describe(dimension) + ", this is a " +
                         describe(other))
                .help = how_to_measure(dimension);
        }
    }

    void day() {
        test_.kind = Test::Kind::day;
        if (fact() == nullptr || fact()->type != FactType::date) {
            slip(sentence_.subject.span, quoted_subject() + " is not a date", how_to_ask());
            return;
        }
        const Word& object = sentence_.objects.front();
        test_.day = Date::parse(object.text);
        if (!test_.day) {
            sound_ = false;
            findings_.add(Kind::bad_date, object.span, "\"" + object.text + "\" is not a day")
                .help = date_help(object.text);
        }
    }

    const Sentence& sentence_;
    const Model& model_;
    const Scope& scope_;
    Findings& findings_;
    Test test_;
    bool sound_ = true;
};

}  // namespace

void resolve_tree(ConditionTree& tree, const Model& model, const Scope& scope, Findings& findings) {
    if (tree.shape == ConditionTree::Shape::sentence) {
        tree.test = SentenceResolver(tree.sentence, model, scope, findings).resolve();
        return;
    }
    // Trees are no deeper than Limits::depth, which read_tree has seen to.
    for (ConditionTree& part : tree.parts) {
        resolve_tree(part, model, scope, findings);
    }
}

}  // namespace toprail
