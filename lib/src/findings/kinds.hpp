// The registry of finding kinds. The enumerators and the table in kinds.cpp stand in one order.
#pragma once

#include <cstdint>

namespace toprail {

enum class Kind : std::uint8_t {
    // the file and its YAML
    unreadable_file,
    not_approved,
    too_large,
    not_utf8,
    control_character,
    not_yaml,
    several_documents,
    too_deep,
    too_many_nodes,
    long_text,
    too_many_findings,
    too_many_cases,
    duplicate_key,
    alias,
    anchor,
    tag,
    merge_key,
    complex_key,
    // the shape of an entry
    wrong_shape,
    unknown_key,
    missing_key,
    swallowed_key,
    empty_list,
    bad_name,
    bad_value,
    bad_number,
    bad_date,
    bad_figure,
    unknown_unit,
    wrong_dimension,
    bad_range,
    bad_sentence,
    bad_formula,
    // names and what they stand for
    unknown_name,
    name_taken,
    unknown_value,
    unknown_provision,
    unknown_authority,
    unknown_vocabulary,
    wrong_use,
    unused_condition,
    unused_quantity,
    unused_fact,
    circle,
    displacement_circle,
    // what a shelf holds
    no_rulepack,
    listed_not_found,
    list_behind,
    follow_on,
    // what a provision may say
    effect_count,
    no_power,
    edition_overlap,
    edition_gap,
    never_in_force,
    never_true,
    never_false,
    never_counts,
    stands_twice,
    may_lack_value,
    never_governs,
    odd_citation,
    unread_mark,
    adopts_newest,
    no_worked_case,
    case_fails,
    case_rests_elsewhere,
    yaml_trap,
    stale_figure,
    // facts of a case
    unknown_fact,
    unreadable_fact,
    out_of_range,
    cannot_be_absent,
    // deciding
    before_first_edition,
    last_,  // not a kind: how many there are
};

}  // namespace toprail
