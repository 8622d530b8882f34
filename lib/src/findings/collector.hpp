// Source texts, spans in them, and the collector that rooms report findings to.
#pragma once

#include "findings/kinds.hpp"
#include "toprail/finding.hpp"
#include "toprail/limits.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace toprail {

/// A text with the name people know it by. Immutable once made; shared by all spans in it.
class Source {
  public:
    Source(std::string name, std::string bytes);

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] const std::string& bytes() const { return bytes_; }
    /// The line without its end, counted from 1; empty past the last.
    [[nodiscard]] std::string_view line(std::uint32_t number) const;
    /// The byte offset of a line and byte column (both from 1), clamped to the text.
    [[nodiscard]] std::size_t offset(std::uint32_t line, std::uint32_t column) const;
    /// How many characters stand in a part of the text. The work does not grow with the part: a
    /// line may be as long as its file, and hold as many places as that has bytes.
    [[nodiscard]] std::size_t characters(std::size_t from, std::size_t to) const;

  private:
    [[nodiscard]] std::size_t characters_before(std::size_t offset) const;

    std::string name_;
    std::string bytes_;
    std::vector<std::size_t> starts_;
    // Characters before every stretch of `stretch` bytes.
    std::vector<std::size_t> counted_;
};

/// A stretch of one line of a source; columns and length count bytes. `source` is not owned:
/// whoever keeps spans keeps the source.
struct Span {
    const Source* source = nullptr;
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    std::uint32_t length = 0;

    /// The part of this span that starts `from` bytes in and is `size` bytes long.
    [[nodiscard]] Span part(std::size_t from, std::size_t size) const;
};

/// The span as a self-contained place, with its line of text and columns counted in characters.
Place place_of(const Span& span);

/// Gathers findings. Not thread-safe; one per piece of work.
class Findings {
  public:
    /// So many are kept for one file; of further ones only the number is told.
    explicit Findings(std::size_t most = Limits{}.findings) : most_(most) {}

    /// Adds a finding of that kind and returns it for help and other places to be added. The
    /// reference is good until the next call.
    Finding& add(Kind kind, const Span& span, std::string message);

    /// True once further findings of that file are only counted: work that serves their words alone
    /// can be left out.
    [[nodiscard]] bool full(const Source* source) const;

    [[nodiscard]] const std::vector<Finding>& all() const { return all_; }
    [[nodiscard]] bool any_error() const { return error_left_out_ || has_error(all_); }
    /// Hands the findings over, ordered by file and position, each only once.
    std::vector<Finding> take();

  private:
    struct Count {
        std::size_t seen = 0;
        bool error_left_out = false;
    };

    std::size_t most_;
    std::vector<Finding> all_;
    // By the name of the file, since a source may be gone before its findings are handed over;
    // findings without one are counted together.
    std::unordered_map<std::string, Count> counts_;
    bool error_left_out_ = false;
    // Takes what is said of a finding that is only counted.
    Finding left_out_;
};

/// The name among `known` that is nearest to `name` by edit distance, or empty when none is near.
std::string nearest(std::string_view name, const std::vector<std::string>& known);

/// "a, b or c".
std::string list_or(const std::vector<std::string>& words);

}  // namespace toprail
