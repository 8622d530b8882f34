// Lines of JSON straight into columns: class bytes, and texts where a formula may need values.
#pragma once

#include "bulk/run.hpp"
#include "lines/shape.hpp"
#include "lines/tokens.hpp"

#include <cstdint>
#include <deque>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace toprail::lines {

/// Lines that are decided together: their columns stay in the nearer caches.
inline constexpr std::size_t batch_lines = 4096;

/// A batch of cases. Texts refer to the lines, or to `own`.
struct Batch {
    explicit Batch(const BulkPlan& plan);

    std::size_t count = 0;
    std::vector<std::vector<std::uint8_t>> bytes;      // per fact that a byte tells enough of
    std::vector<std::vector<std::string_view>> texts;  // per fact whose value may be needed
    std::vector<std::uint64_t> numbers;                // of the lines
    std::vector<std::string_view> names;               // JSON strings without their quotes
    std::vector<std::uint8_t> bad;
    std::vector<std::pair<std::size_t, std::string>> troubles;  // case and what is wrong
    std::deque<std::string> own;

    /// Empties it; all facts are not known again.
    void clear();
    [[nodiscard]] std::vector<BulkColumn> columns() const;
};

/// How to read lines abreast with vectors of that name.
ReadAbreast abreast_with(std::string_view vectors);

/// Not thread-safe. The plan must outlive it.
class Reader {
  public:
    Reader(const BulkPlan& plan, std::size_t line_bytes, ReadAbreast way);
    ~Reader();
    Reader(const Reader&) = delete;
    Reader& operator=(const Reader&) = delete;

    /// Reads lines as the next cases of the batch, leaving out blank ones; there is room in it for
    /// all of them. Up to `room_end`, at least `padding` from the end of each, bytes can be read.
    /// So far ahead in the same room text is brought nearer for those who read it next; 0: none is.
    void read(std::span<const Piece> lines, const char* room_end, std::size_t ahead,
              std::uint64_t first_number, Batch& batch);
    static std::size_t padding();

  private:
    bool abreast(const Piece* lines, const char* room_end, std::uint64_t number, Batch& batch);
    void put_pieces(const Shape& shape, Batch& batch);
    void one(std::string_view line, const char* room_end, std::uint64_t number, Batch& batch);
    bool by_shape(const Shape& shape, std::string_view line, Batch& batch);
    bool put_token(std::size_t what, const char* token, std::size_t size, Batch& batch);
    /// Empty, or what is wrong.
    std::string take_apart(std::string_view line, std::size_t capacity, Batch& batch);
    void keep(std::size_t fact, const char* token, std::size_t size, std::uint8_t byte);
    std::string put_text(std::size_t fact, std::string_view text, Batch& batch);
    [[nodiscard]] std::string unknown_fact(const std::string& name) const;
    void learn(std::string_view line, const std::vector<Mark>& marks);

    struct Json;
    const BulkPlan& plan_;
    std::size_t line_bytes_;
    ReadAbreast read_abreast_;
    std::vector<Tokens> tokens_;       // per fact
    std::vector<Texts> texts_;         // per fact
    std::vector<std::uint64_t> seen_;  // per fact, in which line; lines counted by `turn_`
    std::uint64_t turn_ = 0;
    std::vector<KnownPlaces> places_;     // per fact
    std::vector<std::uint8_t*> columns_;  // per fact, of the batch
    std::vector<std::uint8_t> nowhere_;   // for facts without a column of bytes
    std::vector<Piece> pieces_;
    std::vector<bool> told_;  // facts whose tokens are told
    std::vector<Shape> shapes_;
    std::size_t likely_ = 0;  // the shape of the line before
    std::unique_ptr<Json> json_;
};

}  // namespace toprail::lines
