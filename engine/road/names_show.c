/* SPDX-License-Identifier: MIT */
#include "road/names.h"

#include <string.h>

/* Bytes of the UTF-8 character at p, 0 when it is none (RFC 3629, section 4). */
static size_t utf8(const unsigned char *p, size_t n)
{
    size_t need = p[0] < 0x80                   ? 1
                  : p[0] >= 0xC2 && p[0] < 0xE0 ? 2
                  : p[0] >= 0xE0 && p[0] < 0xF0 ? 3
                  : p[0] >= 0xF0 && p[0] < 0xF5 ? 4
                                                : 0;
    if (need == 0 || need > n)
        return 0;
    for (size_t i = 1; i < need; i++)
        if ((p[i] & 0xC0) != 0x80)
            return 0;
    bool bad = (p[0] == 0xE0 && p[1] < 0xA0) || (p[0] == 0xED && p[1] > 0x9F) ||
               (p[0] == 0xF0 && p[1] < 0x90) || (p[0] == 0xF4 && p[1] > 0x8F);
    return bad ? 0 : need;
}

/* No control character: a name must not steer the terminal it is shown on. */
static bool is_printable(const unsigned char *p, size_t n)
{
    if (n == 1)
        return p[0] >= 0x20 && p[0] != 0x7F;
    return n > 2 || p[0] != 0xC2 || p[1] >= 0xA0;
}

void mbl_names_show(char *out, size_t room, const char *text, size_t n)
{
    size_t k = 0;
    for (size_t i = 0; i < n;) {
        const unsigned char *p = (const unsigned char *)text + i;
        size_t taken = utf8(p, n - i);
        size_t written = taken;
        char put[4] = "?";
        if (taken == 0) {
            bool old = p[0] == 0xB0 || p[0] == 0xB2 || p[0] == 0xB3;
            if (old) {
                put[0] = '\xC2';
                put[1] = text[i];
            }
            written = old ? 2 : 1;
            taken = 1;
        } else if (is_printable(p, taken))
            memcpy(put, text + i, taken);
        else
            written = 1;
        if (text[i] == '"' && i + 1 < n && text[i + 1] == '"')
            taken = 2;
        i += taken;
        if (k + written >= room)
            break;
        if (k == 0 && written == 1 && put[0] == ' ')
            continue;
        memcpy(out + k, put, written);
        k += written;
    }
    while (k > 0 && out[k - 1] == ' ')
        k--;
    out[k] = '\0';
}
