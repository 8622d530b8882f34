// Texts made to be too much: each with the findings that must refuse it, and nothing else. They are
// made when they are asked for; some are as large as a file may be.
#pragma once

#include "toprail/finding.hpp"
#include "toprail/limits.hpp"

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace hostile {

enum class Kind { pack, facts };

struct Input {
    std::string_view name;
    Kind kind = Kind::pack;
    std::function<std::string()> text;
    /// The code of a finding that must be there; empty where the text is sound.
    std::string_view code;
};

/// How large those inputs are made that are to fill a file. A file may have sixteen times as much:
/// the costs are measured so.
extern std::size_t file_size;

const std::vector<Input>& inputs();

/// All findings of reading the input and, where nothing is wrong with it, of deciding with it.
std::vector<toprail::Finding> read(const Input& input, const std::string& text,
                                   const toprail::Limits& limits = {});

/// Lints the shelf of a sound pack and makes a receipt of a case on it, where receipts are built.
/// False when it could not be loaded.
bool look_longer(const std::string& text);

}  // namespace hostile
