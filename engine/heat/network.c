/* SPDX-License-Identifier: MIT */
#include "heat/network.h"

#include "heat/cooling.h"

#include <string.h>

enum { FILM_SAMPLES = MBL_FILM_SPEEDS * MBL_FILM_LEVELS };

void mbl_network_init(mbl_network *net, const mbl_alloc *alloc)
{
    *net = (mbl_network){.alloc = alloc, .knee = MBL_NO_KNEE};
}

void mbl_network_free(mbl_network *net)
{
    const mbl_alloc *a = net->alloc;
    for (int i = 0; i < net->nlaws; i++)
        mbl_free(a, net->law[i], FILM_SAMPLES, sizeof(double));
    mbl_free(a, net->node, (size_t)net->node_room, sizeof *net->node);
    mbl_free(a, net->link, (size_t)net->link_room, sizeof *net->link);
    mbl_free(a, net->contact, (size_t)net->contact_room, sizeof *net->contact);
    mbl_free(a, net->source, (size_t)net->source_room, sizeof *net->source);
    mbl_free(a, net->law, (size_t)net->law_room, sizeof *net->law);
    mbl_free(a, net->path, (size_t)net->path_room, sizeof *net->path);
    mbl_network_init(net, a);
}

/* Room for item n of an array; the array itself is returned, NULL when memory is out. */
static void *room(mbl_network *net, void *items, int n, int *capacity, size_t size)
{
    if (net->failed)
        return NULL;
    if (n < *capacity)
        return items;
    int wider = *capacity == 0 ? 16 : 2 * *capacity;
    void *moved = mbl_resize(net->alloc, items, (size_t)*capacity, (size_t)wider, size);
    if (moved == NULL) {
        net->failed = true;
        return NULL;
    }
    *capacity = wider;
    return moved;
}

static void copy_name(char out[MBL_NAME_MAX], const char *name)
{
    size_t n = strlen(name);
    if (n > MBL_NAME_MAX - 1)
        n = MBL_NAME_MAX - 1;
    memcpy(out, name, n);
    out[n] = '\0';
}

static int add_node(mbl_network *net, const char *name, double scale, bool iron)
{
    void *items = room(net, net->node, net->nnodes, &net->node_room, sizeof *net->node);
    if (items == NULL)
        return 0;
    net->node = items;
    mbl_node_spec *node = &net->node[net->nnodes];
    *node = (mbl_node_spec){.scale = scale, .iron = iron};
    copy_name(node->name, name);
    return net->nnodes++;
}

int mbl_network_node(mbl_network *net, const char *name, double capacity)
{
    return add_node(net, name, capacity, false);
}

int mbl_network_iron(mbl_network *net, const char *name, double mass)
{
    return add_node(net, name, mass, true);
}

mbl_table2 mbl_film_grid(const double *samples)
{
    return (mbl_table2){0.0,
                        1.0 / MBL_FILM_SPEED_STEP,
                        MBL_FILM_LEVEL_0,
                        1.0 / MBL_FILM_LEVEL_STEP,
                        MBL_FILM_SPEEDS,
                        MBL_FILM_LEVELS,
                        samples};
}

/* Room for the samples of one more law; NULL when memory is out. */
static double *add_law(mbl_network *net)
{
    void *items = room(net, net->law, net->nlaws, &net->law_room, sizeof *net->law);
    if (items == NULL)
        return NULL;
    net->law = items;
    double *z = mbl_new(net->alloc, FILM_SAMPLES, sizeof(double));
    if (z == NULL) {
        net->failed = true;
        return NULL;
    }
    net->law[net->nlaws++] = z;
    return z;
}

int mbl_network_law(mbl_network *net, mbl_film_law law, const void *ctx)
{
    double *z = add_law(net);
    if (z == NULL)
        return 0;
    mbl_table2 grid = mbl_film_grid(z);
    for (int i = 0; i < grid.nx; i++) {
        for (int j = 0; j < grid.ny; j++)
            z[j * grid.nx + i] =
                law(ctx, grid.x0 + i / grid.x_per_step, grid.y0 + j / grid.y_per_step);
    }
    return net->nlaws - 1;
}

int mbl_network_sampled(mbl_network *net, const double *samples)
{
    double *z = add_law(net);
    if (z == NULL)
        return 0;
    memcpy(z, samples, FILM_SAMPLES * sizeof *z);
    return net->nlaws - 1;
}

int mbl_network_path(mbl_network *net, const char *name)
{
    for (int i = 0; i < net->npaths; i++) {
        if (strcmp(net->path[i], name) == 0)
            return i;
    }
    void *items = room(net, net->path, net->npaths, &net->path_room, sizeof *net->path);
    if (items == NULL)
        return 0;
    net->path = items;
    copy_name(net->path[net->npaths], name);
    return net->npaths++;
}

int mbl_network_source(mbl_network *net, int node)
{
    void *items = room(net, net->source, net->nsources, &net->source_room, sizeof *net->source);
    if (items == NULL)
        return 0;
    net->source = items;
    net->source[net->nsources] = node;
    return net->nsources++;
}

static void add_link(mbl_network *net, mbl_link_spec link)
{
    void *items = room(net, net->link, net->nlinks, &net->link_room, sizeof *net->link);
    if (items == NULL)
        return;
    net->link = items;
    net->link[net->nlinks++] = link;
}

void mbl_network_link(mbl_network *net, int from, int to, double conductance)
{
    add_link(net, (mbl_link_spec){MBL_LINK_FIXED, from, to, conductance, -1, -1});
}

void mbl_network_lose(mbl_network *net, int from, double conductance, int path)
{
    add_link(net, (mbl_link_spec){MBL_LINK_FIXED, from, MBL_AMBIENT, conductance, -1, path});
}

void mbl_network_film(mbl_network *net, int from, double area, int law, int path)
{
    add_link(net, (mbl_link_spec){MBL_LINK_FILM, from, MBL_AMBIENT, area, law, path});
}

void mbl_network_radiate(mbl_network *net, int from, int to, double emissivity_area, int path)
{
    double value = MBL_STEFAN_BOLTZMANN * emissivity_area;
    add_link(net, (mbl_link_spec){MBL_LINK_RADIATION, from, to, value, -1, path});
}

void mbl_network_contact(mbl_network *net, const mbl_contact_spec *contact)
{
    void *items = room(net, net->contact, net->ncontacts, &net->contact_room, sizeof *net->contact);
    if (items == NULL)
        return;
    net->contact = items;
    net->contact[net->ncontacts] = *contact;
    net->ncontacts++;
    add_link(net, (mbl_link_spec){MBL_LINK_CONTACT, contact->rotor, contact->pad, 0, -1, -1});
}
