/*
 * threads.c - contours measured on several threads.
 *
 * The caller reads the table and fills batches; helpers measure them. When all
 * batches are waiting the caller measures one too, so no thread is idle and
 * memory does not grow. Each contour is measured by itself and its results are
 * put into its own row by the caller: the same bytes with any number of
 * threads. A thread that cannot be started is done without.
 */
#include "native/threads.h"

#include "study/batch.h"

#include <pthread.h>
#include <stdlib.h>

#define BATCHES_PER_THREAD 3

typedef enum work_state {
    WORK_IDLE,    /* empty, or measured and not yet taken back */
    WORK_FILLING, /* with the caller */
    WORK_WAITING, /* full, to be measured */
    WORK_RUNNING
} work_state;

typedef struct work {
    batch batch; /* first, so that a batch leads to its work */
    work_state state;
} work;

struct threads {
    pthread_mutex_t lock;
    pthread_cond_t waiting;  /* a batch waits, or the end has come */
    pthread_cond_t measured; /* a batch was measured */
    bool ends;
    work *works;
    size_t work_count;
    pthread_t *helpers;
    bl_measurer **measurers; /* one for each helper, the last the caller's */
    unsigned helper_count;
    unsigned started;
    bool tried; /* to start them */
};

/* All of these are called with the lock held. */

static work *find(const threads *in, work_state state) {
    for (size_t i = 0; i < in->work_count; i++) {
        if (in->works[i].state == state) {
            return &in->works[i];
        }
    }
    return NULL;
}

/* Measures with the lock released. */
static void measure(threads *in, work *one, bl_measurer *measurer) {
    one->state = WORK_RUNNING;
    (void)pthread_mutex_unlock(&in->lock);
    batch_measure(&one->batch, measurer);
    (void)pthread_mutex_lock(&in->lock);
    one->state = WORK_IDLE;
    (void)pthread_cond_signal(&in->measured);
}

typedef struct helper {
    threads *in;
    bl_measurer *measurer;
} helper;

static void *help(void *argument) {
    helper *self = argument;
    threads *in = self->in;
    (void)pthread_mutex_lock(&in->lock);
    for (;;) {
        work *one = find(in, WORK_WAITING);
        if (one != NULL) {
            measure(in, one, self->measurer);
        } else if (in->ends) {
            break;
        } else {
            (void)pthread_cond_wait(&in->waiting, &in->lock);
        }
    }
    (void)pthread_mutex_unlock(&in->lock);
    free(self);
    return NULL;
}

static void start(threads *in) {
    in->tried = true;
    for (unsigned i = 0; i < in->helper_count; i++) {
        helper *self = malloc(sizeof *self);
        if (self == NULL) {
            return;
        }
        *self = (helper){in, in->measurers[i]};
        if (pthread_create(&in->helpers[i], NULL, help, self) != 0) {
            free(self);
            return;
        }
        in->started++;
    }
}

/* One that is idle, measuring or waiting for one if need be; NULL when all
 * are with the caller. */
static work *find_idle(threads *in, bool measured_only) {
    for (;;) {
        for (size_t i = 0; i < in->work_count; i++) {
            work *one = &in->works[i];
            if (one->state == WORK_IDLE &&
                (!measured_only || one->batch.count > 0)) {
                return one;
            }
        }
        work *next = find(in, WORK_WAITING);
        if (next != NULL) {
            measure(in, next, in->measurers[in->helper_count]);
        } else if (find(in, WORK_RUNNING) != NULL) {
            (void)pthread_cond_wait(&in->measured, &in->lock);
        } else {
            return NULL;
        }
    }
}

static batch *trade(void *context, batch *full) {
    threads *in = context;
    (void)pthread_mutex_lock(&in->lock);
    if (full != NULL) {
        ((work *)full)->state = WORK_WAITING;
        if (!in->tried) {
            start(in);
        }
        (void)pthread_cond_signal(&in->waiting);
    }
    work *next = find_idle(in, false);
    if (next != NULL) {
        next->state = WORK_FILLING;
    }
    (void)pthread_mutex_unlock(&in->lock);
    return next == NULL ? NULL : &next->batch;
}

static batch *drain(void *context) {
    threads *in = context;
    (void)pthread_mutex_lock(&in->lock);
    work *next = find_idle(in, true);
    (void)pthread_mutex_unlock(&in->lock);
    return next == NULL ? NULL : &next->batch;
}

static bool make_measurers(threads *in, uint32_t columns) {
    for (unsigned i = 0; i <= in->helper_count; i++) {
        if (bl_measurer_new(columns, &in->measurers[i]) != BL_OK) {
            return false;
        }
    }
    return true;
}

threads *threads_new(bl_study *study, unsigned count) {
    threads *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return NULL;
    }
    (void)pthread_mutex_init(&made->lock, NULL);
    (void)pthread_cond_init(&made->waiting, NULL);
    (void)pthread_cond_init(&made->measured, NULL);
    made->helper_count = count - 1;
    made->work_count = (size_t)count * BATCHES_PER_THREAD;
    made->works = calloc(made->work_count, sizeof *made->works);
    made->helpers = calloc(count, sizeof *made->helpers);
    made->measurers = calloc(count, sizeof(bl_measurer *));
    if (made->works == NULL || made->helpers == NULL ||
        made->measurers == NULL ||
        !make_measurers(made, study_columns(study))) {
        threads_free(made);
        return NULL;
    }
    batch_runner runner = {trade, drain, made};
    study_run_with(study, &runner);
    return made;
}

void threads_free(threads *of) {
    if (of == NULL) {
        return;
    }
    (void)pthread_mutex_lock(&of->lock);
    of->ends = true;
    (void)pthread_cond_broadcast(&of->waiting);
    (void)pthread_mutex_unlock(&of->lock);
    for (unsigned i = 0; i < of->started; i++) {
        (void)pthread_join(of->helpers[i], NULL);
    }
    for (unsigned i = 0; of->measurers != NULL && i <= of->helper_count; i++) {
        bl_measurer_free(of->measurers[i]);
    }
    for (size_t i = 0; of->works != NULL && i < of->work_count; i++) {
        batch_free(&of->works[i].batch);
    }
    free(of->works);
    free(of->helpers);
    free(of->measurers);
    (void)pthread_cond_destroy(&of->measured);
    (void)pthread_cond_destroy(&of->waiting);
    (void)pthread_mutex_destroy(&of->lock);
    free(of);
}
