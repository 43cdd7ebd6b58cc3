/*
 * status.c - the edges that a sweep line meets, as a treap.
 *
 * A binary tree in sweep order whose random ranks form a heap (Seidel and
 * Aragon 1996): depth is O(log n) whatever the input. The caller finds places;
 * here they are only kept.
 */
#include "geometry/status.h"

#include <stdlib.h>

#define NONE (-1)

bool status_reset(status_tree *tree, size_t capacity) {
    if (capacity > tree->capacity) {
        status_node *nodes = realloc(tree->nodes, capacity * sizeof *nodes);
        if (nodes == NULL) {
            return false;
        }
        tree->nodes = nodes;
        tree->capacity = capacity;
    }
    tree->root = NONE;
    tree->chance = 2463534242U;
    return true;
}

void status_free(status_tree *tree) {
    free(tree->nodes);
    *tree = (status_tree){0};
}

/* xorshift32, Marsaglia 2003. */
static uint32_t next_chance(status_tree *tree) {
    uint32_t x = tree->chance;
    x ^= x << 13;
    x ^= x >> 17;
    x ^= x << 5;
    tree->chance = x;
    return x;
}

static int side_of(const status_tree *tree, int32_t parent, int32_t child) {
    return tree->nodes[parent].child[1] == child;
}

/* Lifts a node over its parent; the order stays. */
static void rotate_up(status_tree *tree, int32_t node) {
    status_node *nodes = tree->nodes;
    int32_t parent = nodes[node].parent;
    int32_t top = nodes[parent].parent;
    int side = side_of(tree, parent, node);
    int32_t inner = nodes[node].child[!side];
    nodes[parent].child[side] = inner;
    if (inner != NONE) {
        nodes[inner].parent = parent;
    }
    nodes[node].child[!side] = parent;
    nodes[parent].parent = node;
    nodes[node].parent = top;
    if (top == NONE) {
        tree->root = node;
    } else {
        nodes[top].child[nodes[top].child[1] == parent] = node;
    }
}

/* Ties node between its neighbours. */
static void link_beside(status_node *nodes, int32_t node, int32_t below,
                        int32_t above) {
    nodes[node].beside[0] = below;
    nodes[node].beside[1] = above;
    if (below != NONE) {
        nodes[below].beside[1] = node;
    }
    if (above != NONE) {
        nodes[above].beside[0] = node;
    }
}

void status_insert(status_tree *tree, int32_t node, int32_t near, bool above) {
    status_node *nodes = tree->nodes;
    nodes[node] =
        (status_node){NONE, {NONE, NONE}, {NONE, NONE}, next_chance(tree)};
    if (near == NONE) {
        tree->root = node;
        return;
    }
    int side = above;
    int32_t other = nodes[near].beside[side];
    link_beside(nodes, node, above ? near : other, above ? other : near);
    /* Where near has a child on that side, the neighbour beyond has a free
     * place facing us. */
    int32_t parent = near;
    if (nodes[near].child[side] != NONE) {
        parent = other;
        side = !side;
    }
    nodes[parent].child[side] = node;
    nodes[node].parent = parent;
    while (nodes[node].parent != NONE &&
           nodes[nodes[node].parent].rank < nodes[node].rank) {
        rotate_up(tree, node);
    }
}

int32_t status_lowest(const status_tree *tree) {
    int32_t at = tree->root;
    while (at != NONE && tree->nodes[at].child[0] != NONE) {
        at = tree->nodes[at].child[0];
    }
    return at;
}

void status_remove(status_tree *tree, int32_t node) {
    status_node *nodes = tree->nodes;
    for (;;) {
        int32_t below = nodes[node].child[0];
        int32_t above = nodes[node].child[1];
        if (below == NONE && above == NONE) {
            break;
        }
        bool take_above =
            below == NONE ||
            (above != NONE && nodes[above].rank > nodes[below].rank);
        rotate_up(tree, take_above ? above : below);
    }
    int32_t parent = nodes[node].parent;
    if (parent == NONE) {
        tree->root = NONE;
    } else {
        nodes[parent].child[side_of(tree, parent, node)] = NONE;
    }
    int32_t below = nodes[node].beside[0];
    int32_t above = nodes[node].beside[1];
    if (below != NONE) {
        nodes[below].beside[1] = above;
    }
    if (above != NONE) {
        nodes[above].beside[0] = below;
    }
}
