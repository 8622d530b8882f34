// What every entry point is made of: nothing is thrown past it, and what is handed in is looked at
// before it is used.
#pragma once

#include "handles.hpp"
#include "toprail.h"

#include <algorithm>
#include <cstring>
#include <exception>
#include <memory>
#include <new>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace toprail::c {

/// Thrown inside an entry point, and caught there.
struct Refused {
    toprail_status status;
    std::string_view trouble;
};

/// Notes what toprail_last_trouble tells in this thread; long texts are cut. Allocates nothing.
void note_trouble(std::string_view what) noexcept;

[[noreturn]] inline void refuse(toprail_status status, std::string_view trouble) {
    throw Refused{status, trouble};
}

/// Runs the body of an entry point.
template <class Body>
toprail_status entry(Body&& body) noexcept {
    try {
        return body();
    } catch (const Refused& refused) {
        note_trouble(refused.trouble);
        return refused.status;
    } catch (const std::bad_alloc&) {
        note_trouble("out of memory");
        return TOPRAIL_NO_MEMORY;
    } catch (const std::length_error&) {
        note_trouble("a text or list is longer than memory can be");
        return TOPRAIL_NO_MEMORY;
    } catch (const std::exception& fault) {
        note_trouble(fault.what());
        return TOPRAIL_INTERNAL;
    } catch (...) {
        note_trouble("something was thrown that is no exception of the library");
        return TOPRAIL_INTERNAL;
    }
}

/// What a handle stands for; it stays alive as long as the result is held.
template <class What>
std::shared_ptr<What> held(const void* handle) {
    auto found = Handles::all().find(reinterpret_cast<std::uintptr_t>(handle));
    auto what = std::dynamic_pointer_cast<What>(found);
    if (!what) {
        refuse(TOPRAIL_BAD_HANDLE, handle == nullptr ? "the handle is null"
                                   : !found          ? "the handle is closed or was never given out"
                                                     : "the handle is of another kind");
    }
    return what;
}

template <class Type>
Type& place(Type* pointer) {
    if (pointer == nullptr) {
        refuse(TOPRAIL_BAD_ARGUMENT, "a place for a result is null");
    }
    return *pointer;
}

inline std::string_view view(toprail_text text) {
    if (text.data == nullptr && text.size != 0) {
        refuse(TOPRAIL_BAD_ARGUMENT, "a text is null and yet has a length");
    }
    return text.size == 0 ? std::string_view() : std::string_view(text.data, text.size);
}

inline toprail_text text(std::string_view from) {
    return {from.data(), from.size()};
}

template <class Item>
void hold_to_list(const Item* items, std::size_t count) {
    if (items == nullptr && count != 0) {
        refuse(TOPRAIL_BAD_ARGUMENT, "a list is null and yet has a length");
    }
}

inline std::vector<std::string> strings(const toprail_text* items, std::size_t count) {
    hold_to_list(items, count);
    std::vector<std::string> all;
    for (std::size_t i = 0; i < count; ++i) {
        all.emplace_back(view(items[i]));
    }
    return all;
}

/// No struct is ever larger: a size above this was never set.
inline constexpr std::size_t largest_struct = 4096;

/// A struct that gained members since ABI 0 gets a specialization with the size it had then.
template <class Struct>
inline constexpr std::size_t first_size = sizeof(Struct);
template <>
inline constexpr std::size_t first_size<toprail_step> = offsetof(toprail_step, adopted_from);

inline void hold_to_size(std::size_t size, std::size_t least) {
    if (size < least || size > largest_struct) {
        refuse(TOPRAIL_BAD_ARGUMENT, "`size` of a struct is not its size");
    }
}

/// Options as this version knows them.
template <class Struct>
Struct options(const Struct* from) {
    Struct own{};
    if (from == nullptr) {
        return own;
    }
    hold_to_size(from->size, first_size<Struct>);
    const auto* bytes = reinterpret_cast<const unsigned char*>(from);
    for (std::size_t i = sizeof(Struct); i < from->size; ++i) {
        if (bytes[i] != 0) {
            refuse(TOPRAIL_BAD_ARGUMENT, "an option is set that this version does not know");
        }
    }
    std::memcpy(&own, from, std::min(sizeof(Struct), from->size));
    return own;
}

/// Fills the caller's struct, which may be that of an earlier or a later version.
template <class Struct>
void fill(Struct* to, const Struct& with) {
    const std::size_t size = place(to).size;
    hold_to_size(size, first_size<Struct>);
    auto* bytes = reinterpret_cast<unsigned char*>(to);
    std::memset(bytes, 0, size);
    std::memcpy(bytes, &with, std::min(sizeof(Struct), size));
    to->size = size;
}

template <class Item>
const Item& numbered(const std::vector<Item>& items, std::size_t number) {
    if (number >= items.size()) {
        refuse(TOPRAIL_NO_SUCH, "there is no entry of that number");
    }
    return items[number];
}

}  // namespace toprail::c
