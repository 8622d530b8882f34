// Entry point: finding_kinds. One row per Kind, in its order; the row is the documentation.
#include "findings/kinds.hpp"

#include "toprail/finding.hpp"

namespace toprail {

const std::vector<FindingKind>& finding_kinds() {
    constexpr Severity error = Severity::error;
    constexpr Severity warning = Severity::warning;
    constexpr Severity note = Severity::note;
    static const std::vector<FindingKind> kinds{
        {"unreadable-file", error, "the file cannot be opened or read"},
        {"not-approved", error, "the file is not signed by a key that counts"},
        {"too-large", error, "the file has more bytes than the limit"},
        {"not-utf8", error, "the bytes are not valid UTF-8"},
        {"control-character", error,
         "the text holds a control or direction-changing character that could hide what it says"},
        {"not-yaml", error, "the text does not follow YAML"},
        {"several-documents", error, "the file holds more than one YAML document"},
        {"too-deep", error, "lists and maps, or adoptions, are nested deeper than the limit"},
        {"too-many-nodes", error, "the file holds more keys and values than the limit"},
        {"long-text", error, "one text is longer than the limit"},
        {"too-many-findings", note, "more was found in one file than the limit lets be told"},
        {"too-many-cases", error, "a facts file holds more cases than the limit"},
        {"duplicate-key", error, "a key stands twice in one map"},
        {"alias", error, "an alias stands for a value written elsewhere"},
        {"anchor", error, "an anchor names a value for later reuse"},
        {"tag", error, "a tag forces a type on a value"},
        {"merge-key", error, "a merge key copies one map into another"},
        {"complex-key", error, "a key is a list or a map"},
        {"wrong-shape", error, "a list, a map or a text stands where another is expected"},
        {"unknown-key", error, "a key is not one that may stand here"},
        {"missing-key", error, "a key that must stand here is absent"},
        {"empty-list", error, "a list or map that must hold something is empty"},
        {"bad-name", error, "a name is not made of lower-case words joined by hyphens"},
        {"bad-value", error, "a value is not one of those that may stand here"},
        {"bad-number", error, "a number is malformed"},
        {"bad-date", error, "a day is malformed or does not exist"},
        {"bad-figure", error, "a figure is not a number with a unit"},
        {"unknown-unit", error, "a unit is not known"},
        {"wrong-dimension", error, "two quantities of different kinds are mixed"},
        {"bad-range", error, "a first value lies after the last"},
        {"bad-sentence", error, "a condition sentence cannot be understood"},
        {"bad-formula", error, "a formula cannot be understood"},
        {"unknown-name", error, "a name is not defined"},
        {"name-taken", error, "a name is defined twice"},
        {"unknown-value", error, "a value is not one of those that the fact can have"},
        {"unknown-provision", error, "a provision is named that does not exist"},
        {"unknown-authority", error, "an authority is named that is not on the shelf"},
        {"unknown-vocabulary", error, "a vocabulary is named that is not on the shelf"},
        {"wrong-use", error, "a name is used for something that its type does not allow"},
        {"unused-condition", warning, "a condition decides nothing"},
        {"unused-quantity", warning, "a quantity is computed and used nowhere"},
        {"unused-fact", note, "a fact decides nothing in any rulepack of this folder"},
        {"circle", error, "conditions or quantities depend on themselves"},
        {"displacement-circle", error, "provisions displace each other in a circle"},
        {"no-rulepack", error, "a shelf to decide with holds no rulepack"},
        {"listed-not-found", error,
         "a shelf lacks a rulepack, or a part of one, that its list says it must hold"},
        {"list-behind", note, "a folder holds a rulepack, or a part of one, that its list lacks"},
        {"follow-on", error,
         "many names are defined nowhere, most likely because what is reported first is missing"},
        {"effect-count", error, "a provision has no effect, or more than one"},
        {"no-power", error, "a provision does what its standing may not do"},
        {"edition-overlap", error, "two editions of one authority cover the same days"},
        {"edition-gap", warning, "no edition of an authority covers some days between two others"},
        {"never-in-force", error, "a provision has no day on which it is in force"},
        {"never-true", warning, "a condition can never be true by its own values"},
        {"may-lack-value", warning,
         "a quantity may divide by zero or take the root of a negative number"},
        {"never-governs", warning, "no rulepack says that an authority governs"},
        {"odd-citation", warning, "a citation does not look like those of its authority"},
        {"unread-mark", warning, "a provision is marked read where the rulepack says nothing was"},
        {"adopts-newest", warning, "a rulepack adopts another that has several editions"},
        {"case-fails", error, "a worked case comes out differently"},
        {"case-rests-elsewhere", warning, "a worked case rests on another rulepack"},
        {"yaml-trap", warning, "a value means something else to other programs that read YAML"},
        {"stale-figure", warning, "a text tells another figure than the rule that it describes"},
        {"unknown-fact", error, "a fact is given that no vocabulary defines"},
        {"unreadable-fact", error, "the value of a fact cannot be read"},
        {"out-of-range", error, "the value of a fact lies outside its sensible range"},
        {"cannot-be-absent", error, "a fact is given as not applying that always applies"},
        {"before-first-edition", error, "the deciding date lies before the first edition"},
    };
    return kinds;
}

}  // namespace toprail
