// The handles that callers hold, and what stands behind them.
//
// A handle is a number cast to a pointer and never followed: the table says what it stands for, so
// that a closed handle or one of another kind is refused rather than read.
#pragma once

#include "toprail.h"

#include <cstdint>
#include <memory>
#include <mutex>
#include <shared_mutex>
#include <unordered_map>
#include <utility>

namespace toprail::c {

/// Base of everything that a handle can stand for.
class Held {
  public:
    Held() = default;
    Held(const Held&) = delete;
    Held& operator=(const Held&) = delete;
    virtual ~Held() = default;
};

/// Thread-safe.
class Handles {
  public:
    static Handles& all();

    /// Throws std::bad_alloc.
    std::uintptr_t keep(std::shared_ptr<Held> held);
    /// Null when there is no such handle.
    [[nodiscard]] std::shared_ptr<Held> find(std::uintptr_t number) const;
    /// False when there is no such handle.
    bool drop(std::uintptr_t number);

  private:
    mutable std::shared_mutex mutex_;
    std::unordered_map<std::uintptr_t, std::shared_ptr<Held>> held_;
    std::uintptr_t last_ = 0;
};

/// A handle that is given back unless it is released: a call that makes several hands out all of
/// them or none.
template <class Handle>
class Kept {
  public:
    Kept() = default;
    explicit Kept(std::shared_ptr<Held> held) : number_(Handles::all().keep(std::move(held))) {}
    Kept(Kept&& other) noexcept : number_(std::exchange(other.number_, 0)) {}
    Kept& operator=(Kept&& other) noexcept {
        std::swap(number_, other.number_);
        return *this;
    }
    ~Kept() {
        if (number_ != 0) {
            Handles::all().drop(number_);
        }
    }

    Handle* release() { return reinterpret_cast<Handle*>(std::exchange(number_, 0)); }

  private:
    std::uintptr_t number_ = 0;
};

}  // namespace toprail::c
