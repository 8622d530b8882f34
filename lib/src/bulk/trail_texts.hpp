// The pieces of a JSON trail, rendered once for a plan, so that a case only strings them together.
#pragma once

#include "toprail/bulk.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace toprail::bulk {

/// Pieces are copied this many bytes at a time, past their end and past the end of what is written.
inline constexpr std::size_t piece_step = 32;

/// Part of TrailTexts::text. Empty: nothing is told.
struct Piece {
    std::uint32_t at = 0;
    std::uint32_t size = 0;
};

/// What stands in TrailTexts::duties for a duty, beyond the four outcomes that are settled: an open
/// one, by what to act as if, and none.
inline constexpr std::size_t piece_open = 4;
inline constexpr std::size_t piece_no_answer = 7;
inline constexpr std::size_t pieces_of_duty = 8;

/// A provision's row.
struct TrailRow {
    std::array<Piece, 4> by_status;
    /// Row of the authority that must govern for it to be told; the row of its own when it is told
    /// in any case.
    std::uint32_t governed_by = 0;
    bool always = false;
    /// Nobody has compared its text with the source, and an answer may rest on it.
    bool unverified = false;
};

struct TrailTexts {
    std::string text;  // padded by piece_step
    Piece begin;
    std::vector<std::array<Piece, pieces_of_duty>> duties;
    Piece after_duties;
    std::vector<TrailRow> rows;
    Piece after_rows;
    Piece unverified;
    std::vector<Piece> dated;      // per authority, what to say of its dates when it may govern
    std::vector<Piece> contested;  // per duty
    std::vector<Piece> at_odds;    // as in the model
    Piece nobody_governs;
    Piece end;
    /// No trail takes more bytes, copied past its end included.
    std::size_t most = 0;
};

/// Precondition: the plan's statuses are named.
void render_trail_texts(BulkPlan::Data& data);

}  // namespace toprail::bulk
