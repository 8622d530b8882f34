// simdjson on-demand reading every field of the lines, and doing nothing with them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

namespace bench {

struct FieldsRead {
    std::size_t lines = 0;
    std::uint64_t bytes = 0;
};

/// Past `size` there are fields_padding() more bytes.
FieldsRead read_fields(const std::string& text, std::size_t size);
std::size_t fields_padding();

/// The same, compiled for the processor at hand instead of with the flags of all else.
FieldsRead read_fields_native(const std::string& text, std::size_t size);

}  // namespace bench
