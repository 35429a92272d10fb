import time
from tests.bench.cases import demo_scene, span, bare
s=demo_scene()
for way in ('ac','fans','closed'):
    c=span(s,way,1,1,365,'year')
    for c2,n in ((c,'lived'),(bare(c,'b'),'bare')):
        c2.run()
        best=9
        for _ in range(2):
            t=time.thread_time(); r=c2.run(); best=min(best,time.thread_time()-t)
        print(way,n,round(best,3), 'starts', r.column('ac_starts').sum())
