// Sets of cases in plain words: a term is covered with few boxes, each as large as the term allows.
#pragma once

#include "deciding/exact.hpp"
#include "proving/asker.hpp"
#include "proving/law.hpp"

#include <string>
#include <vector>

namespace toprail {

/// The values of one fact, split where some condition tells them apart.
struct Axis {
    const FactTerms* terms = nullptr;  // null: the deciding date
    Variable classes;                  // its `fact` points into `words`
    std::vector<z3::expr> holds;       // per class
};

struct Box {
    /// Per axis, which classes belong to it.
    std::vector<std::vector<bool>> chosen;
    z3::expr holds;
    /// False: only some cases of the box belong to the term.
    bool whole = true;
    FilledCase sample;
};

struct Cover {
    std::vector<Box> boxes;
    /// Nothing is left outside of the boxes.
    bool complete = false;
    /// A case outside of the boxes, when one was found.
    std::optional<FilledCase> outside;
};

/// Not thread-safe; one for each term. Everything handed in must outlive it.
class Regions {
  public:
    /// `outputs` are what the term is made of: one list of nodes for each law.
    Regions(Asker& asker, const std::vector<const Law*>& laws,
            const std::vector<std::vector<NodeId>>& outputs);

    /// At most `most` boxes.
    Cover cover(const z3::expr& term, std::size_t most);
    /// The smallest box that holds every case of the term. Some case must make it true.
    Box hull(const z3::expr& term);
    /// "platform-height is more than 10 ft", one for each fact that matters.
    [[nodiscard]] std::vector<std::string> words(const Box& box) const;

  private:
    void set_axes(const z3::expr& term);
    void add_axis(const FactTerms* terms);
    void split_numbers(Axis& axis);
    void split_days(Axis& axis);
    [[nodiscard]] std::size_t class_of(const Axis& axis, const FilledCase& filled) const;
    [[nodiscard]] z3::expr term_of(const std::vector<std::vector<bool>>& chosen) const;
    bool inside(const std::vector<std::vector<bool>>& chosen, const z3::expr& term);
    /// Some case of the term lies in the box with that one class on that axis.
    bool reaches(std::vector<std::vector<bool>> chosen, std::size_t axis, std::size_t value,
                 const z3::expr& term);
    void widen(std::vector<std::vector<bool>>& chosen, const z3::expr& term);

    Asker& asker_;
    std::map<std::string, std::vector<Number>> turns_;       // by fact
    std::map<std::string, std::vector<std::int32_t>> cuts_;  // by date fact; "": deciding date
    Model words_;                                            // facts only
    std::vector<Axis> axes_;
};

}  // namespace toprail
