// Entry points: buffers, and what is written into them but receipts.
#include "entry.hpp"
#include "held.hpp"

#include <toprail/telling.hpp>

using namespace toprail::c;

extern "C" {

toprail_status toprail_buffer_new(toprail_buffer** buffer) {
    return entry([&] {
        place(buffer) = nullptr;
        *buffer = Kept<toprail_buffer>(std::make_shared<HeldBuffer>()).release();
        return TOPRAIL_OK;
    });
}

toprail_status toprail_buffer_text(const toprail_buffer* buffer, toprail_text* so_far) {
    return entry([&] {
        place(so_far) = text(held<HeldBuffer>(buffer)->text);
        return TOPRAIL_OK;
    });
}

toprail_status toprail_buffer_clear(toprail_buffer* buffer) {
    return entry([&] {
        held<HeldBuffer>(buffer)->text.clear();
        return TOPRAIL_OK;
    });
}

toprail_status toprail_decision_json(const toprail_decision* decision, toprail_text case_name,
                                     toprail_buffer* buffer) {
    return entry([&] {
        const auto from = held<HeldDecision>(decision);
        const std::string name(view(case_name));
        append_to(*held<HeldBuffer>(buffer),
                  [&](std::string& out) { toprail::append_json(out, from->decision, name); });
        return TOPRAIL_OK;
    });
}

toprail_status toprail_decision_text(const toprail_decision* decision, toprail_text case_name,
                                     toprail_length length, toprail_buffer* buffer) {
    return entry([&] {
        if (length < TOPRAIL_ANSWER || length > TOPRAIL_EVERYTHING) {
            refuse(TOPRAIL_BAD_ARGUMENT, "there is no such length");
        }
        const auto from = held<HeldDecision>(decision);
        const std::string name(view(case_name));
        append_to(*held<HeldBuffer>(buffer), [&](std::string& out) {
            out +=
                toprail::tell_text(from->decision, name, {}, static_cast<toprail::Length>(length));
        });
        return TOPRAIL_OK;
    });
}

toprail_status toprail_findings_json(const toprail_findings* findings, toprail_buffer* buffer) {
    return entry([&] {
        const auto from = held<HeldFindings>(findings);
        append_to(*held<HeldBuffer>(buffer),
                  [&](std::string& out) { toprail::append_json(out, from->findings); });
        return TOPRAIL_OK;
    });
}

toprail_status toprail_findings_text(const toprail_findings* findings, toprail_buffer* buffer) {
    return entry([&] {
        const auto from = held<HeldFindings>(findings);
        append_to(*held<HeldBuffer>(buffer), [&](std::string& out) {
            for (const toprail::Finding& each : from->findings) {
                out += toprail::render_text(each);
            }
        });
        return TOPRAIL_OK;
    });
}
}
