// Entry points about the library itself, and closing.
#include "entry.hpp"
#include "toprail.h"

#include <toprail/decision.hpp>

#include <algorithm>
#include <array>

namespace toprail::c {
namespace {

// A buffer of fixed size: telling that memory ran out must not need any.
struct Trouble {
    std::array<char, 512> text{};
    std::size_t size = 0;
};

thread_local Trouble last_trouble;

constexpr std::array<std::string_view, 8> status_words = {
    "ok", "findings", "bad-argument", "bad-handle", "no-such", "not-built", "no-memory", "internal",
};

}  // namespace

void note_trouble(std::string_view what) noexcept {
    last_trouble.size = std::min(what.size(), last_trouble.text.size());
    std::copy_n(what.begin(), last_trouble.size, last_trouble.text.begin());
}

}  // namespace toprail::c

using namespace toprail::c;

extern "C" {

uint32_t toprail_abi(void) {
    return TOPRAIL_ABI;
}

toprail_text toprail_version(void) {
    return text(TOPRAIL_VERSION);
}

int32_t toprail_has_receipts(void) {
#ifdef TOPRAIL_WITH_RECEIPT
    return 1;
#else
    return 0;
#endif
}

int32_t toprail_has_plans(void) {
#ifdef TOPRAIL_WITH_BULK
    return 1;
#else
    return 0;
#endif
}

toprail_text toprail_last_trouble(void) {
    return {last_trouble.text.data(), last_trouble.size};
}

toprail_text toprail_status_word(toprail_status status) {
    const auto number = static_cast<std::size_t>(status);
    return text(status >= 0 && number < status_words.size() ? status_words[number] : "unknown");
}

toprail_text toprail_outcome_word(toprail_outcome outcome) {
    if (outcome < TOPRAIL_REQUIRED || outcome > TOPRAIL_UNDETERMINED) {
        return text("");
    }
    return text(toprail::word(static_cast<toprail::Outcome>(outcome)));
}

toprail_status toprail_close(void* handle) {
    return entry([&] {
        if (handle != nullptr && !Handles::all().drop(reinterpret_cast<std::uintptr_t>(handle))) {
            refuse(TOPRAIL_BAD_HANDLE, "the handle is closed or was never given out");
        }
        return TOPRAIL_OK;
    });
}
}
