// Entry points: read_fields, read_fields_native; compiled once for each. Keys are taken raw, which
// is quickest.
#include "read_fields.hpp"

#include <simdjson.h>

namespace bench {

#ifdef TOPRAIL_BENCH_NATIVE
#define TOPRAIL_BENCH_FIELDS read_fields_native
#else
#define TOPRAIL_BENCH_FIELDS read_fields

std::size_t fields_padding() {
    return simdjson::SIMDJSON_PADDING;
}

#endif

FieldsRead TOPRAIL_BENCH_FIELDS(const std::string& text, std::size_t size) {
    static simdjson::ondemand::parser parser;
    FieldsRead read;
    const char* at = text.data();
    const char* const end = at + size;
    while (at < end) {
        const auto* const stop =
            static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(end - at)));
        auto document = parser.iterate(at, static_cast<std::size_t>(stop - at),
                                       static_cast<std::size_t>(end - at) + fields_padding());
        for (auto field : document.get_object()) {
            if (field.key() == "facts") {
                for (auto fact : field.value().get_object()) {
                    read.bytes += static_cast<std::uint64_t>(*fact.key().value().raw());
                    read.bytes += std::string_view(fact.value().get_string()).size();
                }
            } else {
                read.bytes += std::string_view(field.value().get_string()).size();
            }
        }
        ++read.lines;
        at = stop + 1;
    }
    return read;
}

}  // namespace bench
