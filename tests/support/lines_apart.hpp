// Lines read by one reader, by guessing how they are laid out, and the same lines taken apart one
// by one, each by a reader that has seen nothing before: what both come to.
#pragma once

#include "lines/reader.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace toprail::test {

struct Way {
    const char* name;
    lines::ReadAbreast read;
};

/// Those that this processor has.
inline std::vector<Way> ways() {
    std::vector<Way> all{{"words", &lines::read_abreast_words},
                         {"portable", &lines::read_abreast_portable}};
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx2") != 0 && __builtin_cpu_supports("bmi") != 0 &&
        __builtin_cpu_supports("bmi2") != 0) {
        all.push_back({"avx2", &lines::read_abreast_avx2});
    }
#endif
    return all;
}

/// What a line came to: class bytes and texts of every fact, the name, and what is wrong.
struct Came {
    std::vector<std::string> facts;
    std::string name;
    std::string trouble;
    bool blank = false;
    bool operator==(const Came&) const = default;
};

inline std::vector<Came> came_of(const lines::Batch& batch) {
    std::vector<Came> all(batch.count);
    for (const auto& [at, says] : batch.troubles) {
        all[at].trouble = says;
    }
    for (std::size_t i = 0; i < batch.count; ++i) {
        if (batch.bad[i] != 0) {
            // Its columns are not looked at.
            all[i].trouble += all[i].trouble.empty() ? "bad, and nothing said" : "";
            continue;
        }
        all[i].name = batch.names[i];
        for (std::size_t f = 0; f < batch.bytes.size(); ++f) {
            all[i].facts.push_back(!batch.bytes[f].empty()   ? std::to_string(batch.bytes[f][i])
                                   : !batch.texts[f].empty() ? std::string(batch.texts[f][i])
                                                             : "");
        }
    }
    return all;
}

/// Lines with room behind them, so that they can be read abreast.
struct LinesText {
    explicit LinesText(const std::vector<std::string>& lines) {
        for (const std::string& line : lines) {
            text += line + "\n";
        }
        text += std::string(lines::Reader::padding(), '"');
        const char* at = text.data();
        for (const std::string& line : lines) {
            pieces.push_back({at, at + line.size()});
            at += line.size() + 1;
        }
    }
    [[nodiscard]] const char* end() const { return text.data() + text.size(); }

    std::string text;
    std::vector<lines::Piece> pieces;
};

inline Came alone(const BulkPlan& plan, const std::string& line, lines::Batch& batch) {
    lines::Reader reader(plan, 1U << 20U, &lines::read_abreast_words);
    const LinesText text({line});
    batch.clear();
    reader.read(text.pieces, text.end(), 0, 1, batch);
    const std::vector<Came> came = came_of(batch);
    return came.empty() ? Came{{}, {}, {}, true} : came.front();
}

/// All lines but blank ones, by one reader.
inline std::vector<Came> together(const BulkPlan& plan, const LinesText& text,
                                  lines::ReadAbreast way, lines::Batch& batch) {
    lines::Reader reader(plan, 1U << 20U, way);
    batch.clear();
    reader.read(text.pieces, text.end(), 0, 1, batch);
    return came_of(batch);
}

}  // namespace toprail::test
