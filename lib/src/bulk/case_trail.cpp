// Entry point: CaseDecider::Data::append_json.
#include "bulk/case_decider_data.hpp"

#include <cstring>
#include <stdexcept>

namespace toprail {
namespace {

using bulk::Piece;
using bulk::piece_step;

// Copies whole steps, past the end of both: there is room for it.
class Stringing {
  public:
    Stringing(const std::string& from, std::string& to)
        : from_(from.data()),
          begin_(to.data()),
          to_(to.data()) {}

    void add(const Piece& piece) {
        for (std::size_t i = 0; i < piece.size; i += piece_step) {
            std::memcpy(to_ + i, from_ + piece.at + i, piece_step);
        }
        to_ += piece.size;
    }

    [[nodiscard]] char* at() const { return to_; }
    [[nodiscard]] std::size_t size() const { return static_cast<std::size_t>(to_ - begin_); }
    void skip(std::size_t count) { to_ += count; }

  private:
    const char* from_;
    char* begin_;
    char* to_;
};

}  // namespace

std::size_t CaseDecider::Data::piece_of(std::size_t duty) const {
    const std::uint8_t outcome = outcomes[duty];
    if (outcome == bulk::byte_no_answer) {
        return bulk::piece_no_answer;
    }
    if (outcome < bulk::piece_open) {
        return outcome;
    }
    // The strictest that is not ruled out; where only the dates are open, the strictest of all.
    std::size_t act = 0;
    while (act < 3 && value_of(duty, act) == bulk::value_false) {
        ++act;
    }
    return bulk::piece_open + act % 3;
}

void CaseDecider::Data::append_json(std::string& out) {
    const BulkPlan::Data& data = plan.data();
    if (data.statuses.empty()) {
        throw std::invalid_argument("the plan was made without statuses");
    }
    const bulk::TrailTexts& texts = data.texts;
    const Status* const all = tell_statuses(statuses.size()).data();
    Stringing json(texts.text, trail);
    json.add(texts.begin);
    for (std::size_t d = 0; d < outcomes.size(); ++d) {
        json.add(texts.duties[d][piece_of(d)]);
    }
    json.add(texts.after_duties);
    char* const bracket = json.at();
    bool unverified = false;
    for (std::size_t r = 0; r < texts.rows.size(); ++r) {
        const bulk::TrailRow& row = texts.rows[r];
        if (row.always || all[row.governed_by] != Status::falls) {
            json.add(row.by_status[static_cast<std::size_t>(all[r])]);
            unverified = unverified || (row.unverified && all[r] != Status::falls);
        }
    }
    // Each piece begins with a comma; the first gives way to the bracket.
    if (json.at() == bracket) {
        json.skip(1);
    }
    *bracket = '[';
    json.add(texts.after_rows);
    if (unverified) {
        json.add(texts.unverified);
    }
    bool somebody_governs = false;
    for (std::size_t a = 0; a < texts.dated.size(); ++a) {
        if (all[data.provisions.size() + a] != Status::falls) {
            somebody_governs = true;
            json.add(texts.dated[a]);
        }
    }
    if (!somebody_governs) {
        json.add(texts.nobody_governs);
    }
    for (std::size_t d = 0; d < texts.contested.size(); ++d) {
        if (all[data.provisions.size() + data.authorities.size() + d] == Status::stands) {
            json.add(texts.contested[d]);
        }
    }
    const std::size_t first = statuses.size() - texts.at_odds.size();
    for (std::size_t i = 0; i < texts.at_odds.size(); ++i) {
        if (all[first + i] == Status::stands) {
            json.add(texts.at_odds[i]);
        }
    }
    json.add(texts.end);
    out.append(trail, 0, json.size());
}

}  // namespace toprail
