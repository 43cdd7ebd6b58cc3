/*
 * status.h - the edges that a sweep line meets, in order from below: a treap
 * with links to the neighbours.
 *
 * Nodes are numbers 0 .. capacity-1 (edges); -1 is none.
 */
#ifndef GEOMETRY_STATUS_H
#define GEOMETRY_STATUS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct status_node {
    int32_t parent;
    int32_t child[2];  /* below, above */
    int32_t beside[2]; /* neighbours in order: below, above */
    uint32_t rank;     /* random; a parent's is at least its children's */
} status_node;

typedef struct status_tree {
    status_node *nodes;
    size_t capacity;
    int32_t root;
    uint32_t chance;
} status_tree;

/* Empty, with room for `capacity` nodes; false when memory is out. */
bool status_reset(status_tree *tree, size_t capacity);
void status_free(status_tree *tree);

/* Puts node directly above (or below) another; near -1: into an empty tree. */
void status_insert(status_tree *tree, int32_t node, int32_t near, bool above);
/* The lowest node, or -1. */
int32_t status_lowest(const status_tree *tree);
void status_remove(status_tree *tree, int32_t node);

#endif
