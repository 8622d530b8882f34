// simdjson, kept out of the files that need not know it.
#pragma once

#include "lines/reader.hpp"

#include <simdjson.h>

namespace toprail::lines {

struct Reader::Json {
    simdjson::ondemand::parser parser;
};

}  // namespace toprail::lines
