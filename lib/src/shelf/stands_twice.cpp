// Entry point: report_stands_twice. A list that holds one entry twice says no more than with it
// once: mostly the second was to be another, which the rule now lacks.
#include "shelf/checks.hpp"
#include "shelf/each_tree.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

// Texts of equal entries are equal, whatever the order inside them and the unit of a figure.
// No name or value holds a line end.
std::string joined(std::string text, std::vector<std::string> parts) {
    std::sort(parts.begin(), parts.end());
    for (const std::string& part : parts) {
        text += "\n" + part;
    }
    return text;
}

std::string content(const ConditionTree& tree) {
    std::vector<std::string> parts;
    if (tree.shape == ConditionTree::Shape::sentence) {
        const Sentence& sentence = tree.sentence;
        for (const Word& object : sentence.objects) {
            parts.push_back(tree.test.figure ? tree.test.figure->base.str() : object.text);
        }
        return joined((sentence.negated ? "not " : "") + sentence.subject.text + " " +
                          std::string(words_of(sentence.verb)),
                      std::move(parts));
    }
    for (const ConditionTree& part : tree.parts) {
        parts.push_back(content(part));
    }
    return joined("(" + std::to_string(static_cast<int>(tree.shape)), std::move(parts)) + ")";
}

// One list.
class List {
  public:
    explicit List(Findings& findings) : findings_(findings) {}

    void add(const std::string& content, const std::string& called, const Span& span) {
        const auto [first, is_new] = seen_.emplace(content, span);
        if (!is_new) {
            Finding& finding = findings_.add(Kind::stands_twice, span,
                                             called + " stands twice; was another meant?");
            finding.others.push_back({place_of(first->second), "here for the first time"});
            finding.help = "write the one that was meant, or take it out";
        }
    }

  private:
    std::map<std::string, Span> seen_;
    Findings& findings_;
};

void look_at(const std::vector<Word>& words, Findings& findings) {
    List list(findings);
    for (const Word& word : words) {
        list.add(word.text, "\"" + word.text + "\"", word.span);
    }
}

void look_at(const ConditionTree& tree, Findings& findings) {
    if (tree.shape == ConditionTree::Shape::sentence) {
        look_at(tree.sentence.objects, findings);
        return;
    }
    List list(findings);
    for (const ConditionTree& part : tree.parts) {
        list.add(content(part),
                 part.shape == ConditionTree::Shape::sentence
                     ? "\"" + part.sentence.whole.text + "\""
                     : "this part",
                 part.span);
    }
}

}  // namespace

void report_stands_twice(const Model& model, Findings& findings) {
    each_tree(model, [&](const ConditionTree& tree) { look_at(tree, findings); });
    for (const Provision& provision : model.provisions) {
        if (provision.pack == provision.written_in) {
            look_at(provision.displaces, findings);
            look_at(provision.effect.relaxes, findings);
            look_at(provision.effect.values, findings);
        }
    }
}

}  // namespace toprail
