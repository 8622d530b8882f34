#include "handles.hpp"

#include <new>

namespace toprail::c {

Handles& Handles::all() {
    // Never destroyed: a host may close handles while it is itself being taken down.
    static auto* const handles = new Handles;
    return *handles;
}

std::uintptr_t Handles::keep(std::shared_ptr<Held> held) {
    const std::unique_lock lock(mutex_);
    if (last_ == UINTPTR_MAX) {
        throw std::bad_alloc();
    }
    held_.emplace(last_ + 1, std::move(held));
    return ++last_;
}

std::shared_ptr<Held> Handles::find(std::uintptr_t number) const {
    const std::shared_lock lock(mutex_);
    const auto found = held_.find(number);
    return found == held_.end() ? nullptr : found->second;
}

bool Handles::drop(std::uintptr_t number) {
    std::shared_ptr<Held> last;
    const std::unique_lock lock(mutex_);
    const auto found = held_.find(number);
    if (found == held_.end()) {
        return false;
    }
    // What it stood for goes after the lock: a large shelf takes its time.
    last = std::move(found->second);
    held_.erase(found);
    return true;
}

}  // namespace toprail::c
