/* Many threads use one shelf; closing it while others decide harms nobody. */
#include "holds.h"

/* Not <threads.h>: the thread sanitizer knows nothing of threads that are made by it. */
#include <pthread.h>

enum { thread_count = 4, rounds = 60 };

static toprail_shelf* shared_shelf;
static toprail_decision* shared_decision;

static void* decides(void* unused) {
    (void)unused;
    for (int i = 0; i < rounds; ++i) {
        toprail_facts* facts = small_facts(i % 2 ? "boom" : "scissor", "3 ft");
        toprail_decision* decision = NULL;
        toprail_duty duty = {.size = sizeof duty};
        HOLDS(toprail_decide(shared_shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
        HOLDS(toprail_duty_at(decision, 0, &duty) == TOPRAIL_OK);
        HOLDS(duty.outcome == (i % 2 ? TOPRAIL_REQUIRED : TOPRAIL_NOT_REQUIRED));
        /* All threads read this one, the first of them lays it out. */
        HOLDS(toprail_duty_at(shared_decision, 0, &duty) == TOPRAIL_OK);
        HOLDS(duty.provisions.count == 1);
        HOLDS(toprail_close(decision) == TOPRAIL_OK);
        HOLDS(toprail_close(facts) == TOPRAIL_OK);
    }
    return NULL;
}

static void* decides_until_closed(void* unused) {
    (void)unused;
    toprail_facts* facts = small_facts("boom", "20 ft");
    for (;;) {
        toprail_decision* decision = NULL;
        const toprail_status status =
            toprail_decide(shared_shelf, facts, some_day, NULL, &decision, NULL);
        if (status == TOPRAIL_BAD_HANDLE) {
            break;
        }
        HOLDS(status == TOPRAIL_OK);
        HOLDS(toprail_close(decision) == TOPRAIL_OK);
    }
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    return NULL;
}

static void run(void* (*each)(void*), pthread_t* threads) {
    for (int i = 0; i < thread_count; ++i) {
        HOLDS(pthread_create(&threads[i], NULL, each, NULL) == 0);
    }
}

static void wait_for(const pthread_t* threads) {
    for (int i = 0; i < thread_count; ++i) {
        HOLDS(pthread_join(threads[i], NULL) == 0);
    }
}

int main(void) {
    pthread_t threads[thread_count];
    shared_shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    HOLDS(toprail_decide(shared_shelf, facts, some_day, NULL, &shared_decision, NULL) ==
          TOPRAIL_OK);
    run(decides, threads);
    wait_for(threads);
    run(decides_until_closed, threads);
    HOLDS(toprail_close(shared_shelf) == TOPRAIL_OK);
    wait_for(threads);
    HOLDS(toprail_close(shared_decision) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    return 0;
}
