/* What a freestanding C compiler asks of its user, and an entry. */
typedef __SIZE_TYPE__ size_t;

void *memcpy(void *to, const void *from, size_t n) {
    char *a = to;
    const char *b = from;
    while (n--) *a++ = *b++;
    return to;
}
void *memmove(void *to, const void *from, size_t n) {
    char *a = to;
    const char *b = from;
    if (a < b)
        while (n--) *a++ = *b++;
    else
        while (n--) a[n] = b[n];
    return to;
}
void *memset(void *to, int c, size_t n) {
    char *a = to;
    while (n--) *a++ = (char)c;
    return to;
}
int memcmp(const void *one, const void *other, size_t n) {
    const unsigned char *a = one, *b = other;
    for (; n--; a++, b++)
        if (*a != *b) return *a - *b;
    return 0;
}
int bcmp(const void *one, const void *other, size_t n) { return memcmp(one, other, n); }
void _start(void) {
    for (;;) {
    }
}
