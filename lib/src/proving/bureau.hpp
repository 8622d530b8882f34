// What every entry point of this room works with: one solver, and for each authority its law and a
// bench to decide examples on.
#pragma once

#include "proving/asker.hpp"
#include "proving/example.hpp"
#include "proving/law.hpp"
#include "proving/narrow.hpp"

#include <memory>
#include <optional>
#include <string>

namespace toprail {

/// One authority alone: named as the only one that governs, as in its worked cases.
struct Alone {
    std::shared_ptr<const ShelfData> data;
    std::unique_ptr<Law> law;
    Bench bench;
    AuthorityId authority;
    std::string id;
};

/// Not thread-safe.
class Bureau {
  public:
    explicit Bureau(const ProveOptions& options);

    [[nodiscard]] const ProveOptions& options() const { return options_; }
    z3::context& context() { return context_; }
    Variables& variables() { return variables_; }
    Asker& asker() { return asker_; }

    /// `others` are named, too.
    Alone alone(const Shelf& shelf, AuthorityId authority,
                const std::vector<AuthorityId>& others = {});
    /// The whole shelf, with its own rules on who governs.
    std::unique_ptr<Law> together(const Shelf& shelf);
    /// What the options say of every case, in the vocabulary of that law.
    z3::expr supposition(const Law& law);
    /// The engine refuses no case for its date: nobody who governs or says who does has yet to
    /// begin.
    z3::expr dates_fit(const Law& law);
    /// Days that suit examples for an authority.
    [[nodiscard]] std::vector<Date> days(const Model& model, AuthorityId authority) const;
    void progress(std::size_t done, std::size_t total, std::string_view about) const;

  private:
    const ProveOptions& options_;
    z3::context context_;
    Variables variables_;
    Asker asker_;
};

/// Throws std::runtime_error when the duty or a given fact is none of this vocabulary: what is
/// misspelt would else be proved of nothing.
void check_options(const Model& model, const ProveOptions& options);

/// Makes the example of a claim and enters it, or says why there is none: the engine may leave open
/// what hangs on an irrational figure, and anything else it does not agree with is an internal
/// error.
void enter_example(Proof& proof, const Simplified& simplified, const std::string& authority,
                   const Labels& labels);

}  // namespace toprail
