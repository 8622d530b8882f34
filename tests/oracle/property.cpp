#include "oracle/property.hpp"

#include <cstdlib>

namespace oracle {

std::uint64_t first_seed() {
    const char* seed = std::getenv("TOPRAIL_SEED");
    return seed == nullptr ? 1 : std::strtoull(seed, nullptr, 10);
}

bool long_run() {
    return std::getenv("TOPRAIL_LONG_RUN") != nullptr;
}

bool has_trouble(const toprail::LoadedShelf& loaded) {
    for (const auto& finding : loaded.findings) {
        if (finding.severity == toprail::Severity::error) {
            RC_LOG() << toprail::render_text(finding) << "\n";
        }
    }
    return !loaded.shelf;
}

}  // namespace oracle
