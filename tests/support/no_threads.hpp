// A process to which the system gives no thread beside its first.
#pragma once

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <functional>

namespace toprail::test {

/// Whether `holds` says so in a child that can start no thread.
inline bool without_threads(const std::function<bool()>& holds) {
    const pid_t child = ::fork();
    if (child == 0) {
        const rlimit none{0, 0};
        // The limit does not hold for root.
        const bool limited =
            (::geteuid() != 0 || ::setuid(65534) == 0) && ::setrlimit(RLIMIT_NPROC, &none) == 0;
        bool held = false;
        try {
            held = limited && holds();
        } catch (...) {
        }
        ::_exit(held ? 0 : 1);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

}  // namespace toprail::test
